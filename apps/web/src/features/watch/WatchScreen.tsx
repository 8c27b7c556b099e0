import './watch.css';
import { useState } from 'react';
import { useSettledFlags } from '../../api/watch.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { SelectField } from '../../ui/Field.js';
import { formatDay, formatMoment } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { SettledLately } from '../conflicts/SettledLately.js';
import { FlagCard, FlagPanel } from './FlagPanel.js';

const SPANS = [7, 28, 90] as const;

/** Flags that stand, and those that settled in the last weeks. */
export default function WatchScreen() {
  const [days, setDays] = useState<number>(28);
  const settled = useSettledFlags(days);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.watch')}</h1>
        <LinkButton href="/">{t('command.weekNow')}</LinkButton>
      </header>
      <FlagPanel aboveTheWeek={false} />
      <SettledLately />
      <Panel title={t('watch.settled')}>
        <div className="scope">
          <SelectField
            label={t('field.settledWithin')}
            value={String(days)}
            onChange={(event) => setDays(Number(event.target.value))}
          >
            {SPANS.map((span) => (
              <option key={span} value={span}>
                {t('format.days', { days: span })}
              </option>
            ))}
          </SelectField>
        </div>
        <p className="soft">{t('watch.settledLead')}</p>
        <QueryStates query={settled}>
          {({ items }) =>
            items.length === 0 ? (
              <NothingYet title={t('watch.noneSettled')} />
            ) : (
              <ul className="plain flag-list">
                {items.map(({ settledAt, ...flag }) => (
                  <FlagCard
                    key={flag.id}
                    flag={flag}
                    settled={t('watch.settledOn', { since: formatDay(flag.since), when: formatMoment(settledAt) })}
                  />
                ))}
              </ul>
            )
          }
        </QueryStates>
      </Panel>
    </>
  );
}
