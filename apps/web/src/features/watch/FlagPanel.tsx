import './watch.css';
import type { FlagJson } from '@jarfold/contracts';
import { type RefObject, useLayoutEffect, useRef, useState } from 'react';
import { Link } from 'wouter';
import { useIsLead } from '../../api/session.js';
import { useFlags, useSeeFlag } from '../../api/watch.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatDay, formatMoment, houseWords } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';
import { FLAG_WORDS, flagHref, goHref } from './flag-links.js';

/**
 * What the farm should look at. What was seen is folded away, and stays until its cause is gone. Above the week's work
 * only what cannot wait is open, so that the work itself is on the first screen; the screen of the watch opens all.
 */
export function FlagPanel({ aboveTheWeek = true }: { readonly aboveTheWeek?: boolean }) {
  const flags = useFlags();
  if (flags.error && !flags.data) return <Failure error={flags.error} onRetry={() => void flags.refetch()} />;
  if (!flags.data) return null;
  const { items } = flags.data;
  const fresh = items.filter(({ seen }) => seen === null);
  const seen = items.filter((flag) => flag.seen !== null);
  return (
    <Panel
      title={t('watch.title')}
      aside={
        aboveTheWeek ? (
          <LinkButton look="quiet" href="/watch">
            {t('command.settledFlags')}
          </LinkButton>
        ) : undefined
      }
      className="flags"
    >
      {items.length === 0 && <p className="soft">{t('watch.none')}</p>}
      {items.length > 0 && fresh.length === 0 && <p className="soft">{t('watch.allSeen')}</p>}
      <Kinds flags={fresh} folded={aboveTheWeek} />
      {seen.length > 0 && (
        <details className="more">
          <summary>{t('watch.seenFlags', { count: seen.length })}</summary>
          <p className="soft">{t('watch.seenLead')}</p>
          <FlagList flags={seen} />
        </details>
      )}
    </Panel>
  );
}

const SHOWN_OF_A_KIND = 2;

/** Kind by kind, the gravest first; of a kind with many flags the newest are open and the rest one tap away. */
function Kinds({ flags, folded }: { readonly flags: readonly FlagJson[]; readonly folded: boolean }) {
  const kinds = [...new Set(flags.map(({ kind }) => kind))].sort((one, other) => rank(one) - rank(other));
  return kinds.map((kind) => {
    const own = flags.filter((flag) => flag.kind === kind);
    const rest = own.slice(SHOWN_OF_A_KIND);
    return (
      <details key={kind} className="more" open={!folded || GRAVE.has(kind)}>
        <summary>
          <h3 className="flag__kind">
            {t(FLAG_WORDS[kind])}{' '}
            <span className={own.length === 1 ? 'flag__brief flag__brief--what' : 'flag__brief'}>
              {own.length === 1 ? houseWords(own[0]!.what) : t('watch.count', { count: own.length })}
            </span>
          </h3>
        </summary>
        <FlagList flags={own.slice(0, SHOWN_OF_A_KIND)} />
        {rest.length > 0 && (
          <details className="more">
            <summary>{t('watch.moreOfKind', { count: rest.length })}</summary>
            <FlagList flags={rest} />
          </details>
        )}
      </details>
    );
  });
}

const FlagList = ({ flags }: { readonly flags: readonly FlagJson[] }) => (
  <ul className="plain flag-list">
    {flags.map((flag) => (
      <FlagCard key={flag.id} flag={flag} />
    ))}
  </ul>
);

const GRAVEST_FIRST: readonly FlagJson['kind'][] = [
  ...(['bad-mother', 'contamination-shift', 'cycle-departed', 'few-mothers'] as const),
  ...(['slow-lot', 'ageing-out', 'stranded'] as const),
];
const rank = (kind: FlagJson['kind']): number => GRAVEST_FIRST.indexOf(kind);

/** What, where, since when, why, and the best thing to do. */
export function FlagCard({ flag, settled }: { readonly flag: FlagJson; readonly settled?: string }) {
  return (
    <li>
      <Notice tone={toneOf(flag, settled !== undefined)}>
        <div className="flag">
          <div className="flag__words stack stack--tight">
            {settled !== undefined && <h3>{t(FLAG_WORDS[flag.kind])}</h3>}
            <p className="flag__what">{houseWords(flag.what)}</p>
            <p className="soft">{houseWords(flag.why)}</p>
            {settled === undefined && (
              <p>
                <strong>{t('watch.do')}</strong> {houseWords(flag.action)}
              </p>
            )}
            <p className="soft small">{settled ?? t('watch.since', { day: formatDay(flag.since) })}</p>
            {flag.seen !== null && <p className="soft small">{seenWords(flag.seen)}</p>}
          </div>
          <div className="flag__where">
            <Where flag={flag} />
            {settled === undefined && <SeenButton flag={flag} />}
          </div>
        </div>
      </Notice>
    </li>
  );
}

/** What settled or was seen calls no longer. */
function toneOf({ kind, seen }: FlagJson, settled: boolean): 'alarm' | 'care' | 'plain' {
  if (settled || seen !== null) return 'plain';
  return GRAVE.has(kind) ? 'alarm' : 'care';
}

const seenWords = ({ by, at }: NonNullable<FlagJson['seen']>): string =>
  t('watch.seenOn', { who: by ?? t('watch.somebody'), when: formatMoment(at) });

/** A lead says that somebody knows and sees to it; that alone settles nothing. */
function SeenButton({ flag }: { readonly flag: FlagJson }) {
  const maySee = useIsLead();
  const see = useSeeFlag();
  const box = useRef<HTMLDivElement>(null);
  useHeadingWhenGone(box);
  if (!maySee) return null;
  const seen = flag.seen !== null;
  return (
    <div ref={box}>
      <Button
        look={seen ? 'quiet' : 'plain'}
        busy={see.isPending}
        aria-label={t(seen ? 'watch.notSeenOf' : 'watch.seenOf', { what: flag.what })}
        onClick={() => see.mutate({ id: flag.id, seen: !seen })}
      >
        {t(seen ? 'command.flagNotSeen' : 'command.flagSeen')}
      </Button>
      {see.error && <Failure error={see.error} />}
    </div>
  );
}

/** A flag moves when it is seen, and its button with it: the keyboard goes on from the heading of the panel. */
function useHeadingWhenGone(box: RefObject<HTMLElement | null>): void {
  useLayoutEffect(() => {
    const own = box.current;
    return () => {
      if (own?.contains(document.activeElement)) own.closest('.flags')?.querySelector('h2')?.focus();
    };
  }, [box]);
}

const GRAVE: ReadonlySet<string> = new Set(['bad-mother', 'contamination-shift', 'cycle-departed']);
const FEW = 6;

/** The codes concerned, each a way to the thing, and the screen where the best action is taken. */
function Where({ flag }: { readonly flag: FlagJson }) {
  const [all, setAll] = useState(false);
  const shown = all ? flag.where : flag.where.slice(0, FEW);
  const hidden = flag.where.length - shown.length;
  const go = goHref(flag.kind);
  return (
    <>
      <ul className="plain flag__codes" aria-label={t('watch.where')}>
        {shown.map((code) => (
          <li key={code}>
            <Link href={flagHref(flag.kind, code)} className="flag__code">
              <Tape>{code}</Tape>
            </Link>
          </li>
        ))}
      </ul>
      {hidden > 0 && (
        <button type="button" className="button button--quiet" onClick={() => setAll(true)}>
          {t('text.more', { count: hidden })}
        </button>
      )}
      {go && <LinkButton href={go.href}>{t(go.words)}</LinkButton>}
    </>
  );
}
