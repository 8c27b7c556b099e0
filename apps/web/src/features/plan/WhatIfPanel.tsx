import type { StaffMember, SuppositionJson, WhatIfAnswer } from '@jarfold/contracts';
import { calendarDay, isCalendarDay } from '@jarfold/domain';
import { type FormEvent, useState } from 'react';
import { useStaff } from '../../api/people.js';
import { useReadyForWhatIf, useWhatIf } from '../../api/plan.js';
import { useRuns } from '../../api/runs.js';
import { useIsLead } from '../../api/session.js';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { formatDay, formatNumber } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { ChangeTables } from './ChangeTables.js';

type Kind = Exclude<SuppositionJson['kind'], 'lose-jars'>;

const KINDS = {
  'move-run': 'plan.suppose.moveRun',
  'lose-lot': 'plan.suppose.loseLot',
  'more-cycles': 'plan.suppose.moreCycles',
  'no-bench': 'plan.suppose.noBench',
  'person-away': 'plan.suppose.personAway',
  'fewer-hands': 'plan.suppose.fewerHands',
} as const satisfies Record<Kind, MessageKey>;

interface Draft {
  readonly kind: Kind;
  readonly runId: string;
  readonly staffId: string;
  readonly day: string;
  readonly until: string;
  readonly lot: string;
  readonly count: string;
}

/** Suppose one thing and see both plans side by side. Nothing is kept. */
export function WhatIfPanel() {
  const whatIf = useWhatIf();
  const ready = useReadyForWhatIf();
  const [draft, setDraft] = useState<Draft>({
    kind: 'move-run',
    runId: '',
    staffId: '',
    day: '',
    until: '',
    lot: '',
    count: '1',
  });
  const kinds = useKinds();
  const change = (part: Partial<Draft>) => setDraft({ ...draft, ...part });
  const suppose = supposition(draft);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (suppose) whatIf.mutate([suppose]);
  };
  return (
    <Panel title={t('plan.whatIf')}>
      <p className="soft">{t('plan.whatIfLead')}</p>
      <form className="scope stack stack--tight" onSubmit={submit} onFocus={() => ready.isIdle && ready.mutate()}>
        <SelectField
          label={t('field.suppose')}
          value={draft.kind}
          onChange={(event) => change({ kind: event.target.value as Kind })}
        >
          {kinds.map((kind) => (
            <option key={kind} value={kind}>
              {t(KINDS[kind])}
            </option>
          ))}
        </SelectField>
        <SupposedFields draft={draft} change={change} />
        <div>
          <Button type="submit" look="main" busy={whatIf.isPending} disabled={suppose === null}>
            {t('command.tryWhatIf')}
          </Button>
        </div>
      </form>
      {whatIf.error && <Failure error={whatIf.error} />}
      {whatIf.data && <Answer answer={whatIf.data} />}
    </Panel>
  );
}

function SupposedFields({ draft, change }: { readonly draft: Draft; readonly change: (part: Partial<Draft>) => void }) {
  const runs = useRuns('planned');
  switch (draft.kind) {
    case 'move-run':
      return (
        <>
          <SelectField
            label={t('field.supposedRun')}
            value={draft.runId}
            onChange={(event) => change({ runId: event.target.value })}
          >
            <option value="">{t('text.choose')}</option>
            {(runs.data?.items ?? []).map((run) => (
              <option key={run.id} value={run.id}>
                {t('plan.runOption', { run: run.name, day: formatDay(run.day) })}
              </option>
            ))}
          </SelectField>
          <DayField
            label={t('field.supposedDay')}
            value={draft.day}
            onChange={(event) => change({ day: event.target.value })}
          />
        </>
      );
    case 'lose-lot':
      return (
        <TextField
          label={t('field.supposedLot')}
          hint={t('plan.supposedLotHint')}
          value={draft.lot}
          onChange={(event) => change({ lot: event.target.value })}
        />
      );
    case 'person-away':
    case 'no-bench':
      return (
        <>
          {draft.kind === 'person-away' && <WhoIsAway draft={draft} change={change} />}
          <DayField
            label={t('field.supposedFrom')}
            value={draft.day}
            onChange={(event) => change({ day: event.target.value })}
          />
          <DayField
            label={t('field.supposedUntil')}
            value={draft.until}
            onChange={(event) => change({ until: event.target.value })}
          />
        </>
      );
    case 'more-cycles':
    case 'fewer-hands':
      return (
        <TextField
          label={draft.kind === 'more-cycles' ? t('field.supposedCycles') : t('field.supposedHands')}
          inputMode="numeric"
          unit={draft.kind === 'more-cycles' ? t('unit.cycles') : t('unit.jars')}
          value={draft.count}
          onChange={(event) => change({ count: event.target.value })}
        />
      );
  }
}

function WhoIsAway({ draft, change }: { readonly draft: Draft; readonly change: (part: Partial<Draft>) => void }) {
  return (
    <SelectField
      label={t('field.supposedPerson')}
      value={draft.staffId}
      onChange={(event) => change({ staffId: event.target.value })}
    >
      <option value="">{t('text.choose')}</option>
      {useBenchStaff().map(({ staffId, name, benchMinutes }) => (
        <option key={staffId} value={staffId}>
          {t('plan.personOption', { name: name ?? t('people.nameForgotten'), minutes: benchMinutes ?? 0 })}
        </option>
      ))}
    </SelectField>
  );
}

/** Who can be supposed away: those whose minutes are said. A hand does not see the list of staff. */
function useBenchStaff(): readonly StaffMember[] {
  const staff = useStaff(useIsLead());
  return (staff.data?.items ?? []).filter(({ active, benchMinutes }) => active && benchMinutes !== null);
}

function useKinds(): readonly Kind[] {
  const nobody = useBenchStaff().length === 0;
  return (Object.keys(KINDS) as Kind[]).filter((kind) => kind !== 'person-away' || !nobody);
}

/** What is supposed, once it is said in full. */
function supposition({ kind, runId, staffId, day, until, lot, count }: Draft): SuppositionJson | null {
  const number = Number(count);
  const whole = Number.isInteger(number) && number >= 1;
  switch (kind) {
    case 'move-run':
      return runId !== '' && isCalendarDay(day) ? { kind, runId, day: calendarDay(day) } : null;
    case 'lose-lot':
      return lot.trim() === '' ? null : { kind, code: lot.trim() };
    case 'more-cycles':
      return whole ? { kind, cycles: number } : null;
    case 'fewer-hands':
      return whole ? { kind, containersPerDay: number } : null;
    case 'person-away':
      return staffId !== '' && isCalendarDay(day) && isCalendarDay(until)
        ? { kind, staffId, from: calendarDay(day), until: calendarDay(until) }
        : null;
    case 'no-bench':
      return isCalendarDay(day) && isCalendarDay(until)
        ? { kind, from: calendarDay(day), until: calendarDay(until) }
        : null;
  }
}

function Answer({ answer }: { readonly answer: WhatIfAnswer }) {
  const same = answer.starts.length === 0 && answer.runs.length === 0;
  return (
    <div aria-live="polite">
      <dl className="facts plan__beside">
        <div>
          <dt>{t('column.nowPlanned')}</dt>
          <dd>{metWords(answer.metNow, answer.runsNow, answer.costNow, answer.currency)}</dd>
        </div>
        <div>
          <dt>{t('column.ifSo')}</dt>
          <dd>
            <strong>{metWords(answer.metIf, answer.runsIf, answer.costIf, answer.currency)}</strong>
          </dd>
        </div>
      </dl>
      {same ? (
        <p>{t('plan.whatIfSame')}</p>
      ) : (
        <ChangeTables
          starts={answer.starts}
          runs={answer.runs}
          before={t('column.nowPlanned')}
          now={t('column.ifSo')}
        />
      )}
      {answer.impossible.map(({ code, subject, message }) => (
        <Notice key={`${code} ${subject}`} tone="care">
          <p>{message}</p>
        </Notice>
      ))}
    </div>
  );
}

function metWords(met: number, runs: number, cost: number, currency: string): string {
  return t('plan.whatIfMet', { met, runs, cost: formatNumber(cost), currency });
}
