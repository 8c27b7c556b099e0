import { type CalendarFeed, newCalendarFeedSchema } from '@jarfold/contracts';
import { type FormEvent, useState } from 'react';
import { useCalendarFeeds, useMakeFeed, useRevokeFeed } from '../../api/exports.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { useForm } from '../../ui/use-form.js';

const OF_WORDS = { farm: 'exports.feedOf.farm', person: 'exports.feedOf.person' } as const;

/** Secret addresses for calendar programs: made, shown once, revoked. */
export function CalendarPanel({ mayMakeForFarm }: { readonly mayMakeForFarm: boolean }) {
  const feeds = useCalendarFeeds();
  const revoke = useRevokeFeed();
  return (
    <Panel title={t('exports.feeds')}>
      <p>{t('exports.feedsHint')}</p>
      <FeedForm mayMakeForFarm={mayMakeForFarm} />
      {revoke.error && <Failure error={revoke.error} />}
      <QueryStates query={feeds}>
        {({ items }) =>
          items.length === 0 ? (
            <p className="soft">{t('exports.feedEmpty')}</p>
          ) : (
            <ul className="plain feed-list">
              {items.map((feed) => (
                <Feed key={feed.id} feed={feed} busy={revoke.isPending} onRevoke={() => revoke.mutate(feed.id)} />
              ))}
            </ul>
          )
        }
      </QueryStates>
    </Panel>
  );
}

function Feed({
  feed: { name, of, createdAt, revokedAt },
  busy,
  onRevoke,
}: {
  readonly feed: CalendarFeed;
  readonly busy: boolean;
  readonly onRevoke: () => void;
}) {
  if (revokedAt !== null)
    return <li className="soft">{t('exports.feedRevoked', { name, when: formatMoment(revokedAt) })}</li>;
  return (
    <li>
      <span>{t('exports.feedLine', { name, of: t(OF_WORDS[of]), when: formatMoment(createdAt) })}</span>
      <Button busy={busy} aria-label={t('exports.revokeOf', { name })} onClick={onRevoke}>
        {t('command.revokeFeed')}
      </Button>
    </li>
  );
}

function FeedForm({ mayMakeForFarm }: { readonly mayMakeForFarm: boolean }) {
  const make = useMakeFeed();
  const form = useForm(() => ({ name: '', of: mayMakeForFarm ? 'farm' : 'person' }), make.error);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    form.check(checkedBody(newCalendarFeedSchema, form.values), (body) =>
      make.mutate(body, { onSuccess: () => form.set({ name: '' }) }),
    );
  };
  return (
    <form className="stack" onSubmit={submit} noValidate>
      <div className="field-grid">
        <TextField label={t('field.feedName')} maxLength={80} {...form.box('name')} />
        <SelectField
          label={t('field.feedOf')}
          value={form.values.of}
          onChange={(event) => form.set({ of: event.target.value })}
        >
          {mayMakeForFarm && <option value="farm">{t(OF_WORDS.farm)}</option>}
          <option value="person">{t(OF_WORDS.person)}</option>
        </SelectField>
      </div>
      {make.error && <Failure error={make.error} />}
      <div>
        <Button type="submit" look="main" busy={make.isPending}>
          {t('command.makeFeed')}
        </Button>
      </div>
      {make.data && <MadeFeed key={make.data.path} address={`${window.location.origin}${make.data.path}`} />}
    </form>
  );
}

function MadeFeed({ address }: { readonly address: string }) {
  const [said, setSaid] = useState<string | null>(null);
  const copy = () =>
    // Without a secure context there is no clipboard to write to.
    Promise.resolve(navigator.clipboard?.writeText(address) ?? Promise.reject(new Error('no clipboard'))).then(
      () => setSaid(t('exports.copied')),
      () => setSaid(t('exports.copyFailed')),
    );
  return (
    <Notice title={t('exports.address')} live>
      <p>
        <code className="feed-address">{address}</code>
      </p>
      <p>{t('exports.addressOnce')}</p>
      <div className="row">
        <Button onClick={() => void copy()}>{t('command.copyAddress')}</Button>
        <p role="status">{said}</p>
      </div>
    </Notice>
  );
}
