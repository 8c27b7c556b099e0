import type { PlanChangesJson } from '@jarfold/contracts';
import { isCalendarDay } from '@jarfold/domain';
import { useState } from 'react';
import { useChanges } from '../../api/plan.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { SelectField } from '../../ui/Field.js';
import { formatDay, formatMass, formatNumber, formatShare } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { ChangeTables } from './ChangeTables.js';

const SPANS = [0, 1, 7, 28] as const;

/** What the newest plan does otherwise than an earlier one, and the facts that differ. */
export function ChangesPanel() {
  const [days, setDays] = useState<number>(7);
  const changes = useChanges(days);
  return (
    <Panel title={t('plan.changes')}>
      <div className="scope">
        <SelectField
          label={t('field.changesSince')}
          value={String(days)}
          onChange={(event) => setDays(Number(event.target.value))}
        >
          {SPANS.map((span) => (
            <option key={span} value={span}>
              {t('plan.daysAgo', { days: span })}
            </option>
          ))}
        </SelectField>
      </div>
      <QueryStates query={changes}>
        {({ changes: found }) => (found === null ? <p>{t('plan.noEarlier')}</p> : <Changes changes={found} />)}
      </QueryStates>
    </Panel>
  );
}

function Changes({ changes }: { readonly changes: PlanChangesJson }) {
  const nothing = changes.starts.length === 0 && changes.runs.length === 0;
  return (
    <>
      <p>
        {nothing
          ? t('plan.changesNone')
          : t('plan.changesCost', { before: formatNumber(changes.before.cost), now: formatNumber(changes.now.cost) })}
      </p>
      {!nothing && (
        <ChangeTables
          starts={changes.starts}
          runs={changes.runs}
          before={t('column.before')}
          now={t('column.nowPlanned')}
        />
      )}
      <h3>{t('plan.why')}</h3>
      <ul className="plain facts">
        {changes.why.map((fact) => (
          <li key={`${fact.kind} ${fact.subject}`}>{factWords(fact)}</li>
        ))}
        {changes.why.length === 0 && <li>{t('plan.whyNothing')}</li>}
      </ul>
    </>
  );
}

type Fact = PlanChangesJson['why'][number];

const FACTS = {
  'run-added': 'plan.why.runAdded',
  'run-gone': 'plan.why.runGone',
  'run-moved': 'plan.why.runMoved',
  'run-grams': 'plan.why.runGrams',
  'run-priority': 'plan.why.runPriority',
  'loss-rate': 'plan.why.lossRate',
  'days-to-ripe': 'plan.why.daysToRipe',
  'jars-growing': 'plan.why.jarsGrowing',
  'jars-ripe': 'plan.why.jarsRipe',
  'jars-chilled': 'plan.why.jarsChilled',
  rhythm: 'plan.why.rhythm',
} as const satisfies Record<Fact['kind'], MessageKey>;

function factWords({ kind, subject, before, now }: Fact): string {
  return t(FACTS[kind], { subject: subject ?? '', before: valueWords(kind, before), now: valueWords(kind, now) });
}

function valueWords(kind: Fact['kind'], value: Fact['now']): string {
  if (value === null) return '';
  if (typeof value === 'string') return isCalendarDay(value) ? formatDay(value) : value;
  if (kind === 'loss-rate') return formatShare(value);
  return kind === 'run-grams' ? formatMass(value) : formatNumber(value);
}
