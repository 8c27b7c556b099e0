import type { Farm, HarvestPromise, PromiseQuery } from '@jarfold/contracts';
import { isCalendarDay } from '@jarfold/domain';
import { type FormEvent, useState } from 'react';
import { usePromise } from '../../api/ahead.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DataTable } from '../../ui/DataTable.js';
import { DayField, SelectField, TextField } from '../../ui/Field.js';
import { formatDay, formatMass, formatNumber, formatShare } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { readNumber } from '../../ui/read-number.js';

type Promised = Omit<PromiseQuery, 'keepsDays'>;
type Wrong = Partial<Record<'kilograms' | 'day' | 'weeks', string>>;

/** Promised kilograms worked back to runs, substrate and spawn. Nothing is kept: it is a calculation. */
export function PromisePanel({ strains }: { readonly strains: Farm['strains'] }) {
  const [promised, setPromised] = useState<Promised | null>(null);
  const promise = usePromise(promised);
  if (strains.length === 0) return null;
  return (
    <Panel title={t('ahead.promise')}>
      <p className="soft">{t('ahead.promiseLead')}</p>
      <PromiseForm strains={strains} onAsk={setPromised} />
      {promised !== null && <QueryStates query={promise}>{(answer) => <Answer answer={answer} />}</QueryStates>}
    </Panel>
  );
}

function PromiseForm({
  strains,
  onAsk,
}: {
  readonly strains: Farm['strains'];
  readonly onAsk: (promised: Promised) => void;
}) {
  const [form, setForm] = useState({
    ...{ strainId: strains[0]!.id, kilograms: '', day: '', weeks: '1', care: 'low' as PromiseQuery['care'] },
  });
  const [wrong, setWrong] = useState<Wrong>({});
  const set = (part: Partial<typeof form>) => setForm({ ...form, ...part });
  const ask = (event: FormEvent) => {
    event.preventDefault();
    const [kilograms, weeks] = [readNumber(form.kilograms) ?? Number.NaN, readNumber(form.weeks) ?? Number.NaN];
    const found: Wrong = {
      ...(kilograms > 0 ? {} : { kilograms: t('ahead.promiseError.mass') }),
      ...(isCalendarDay(form.day) ? {} : { day: t('ahead.promiseError.day') }),
      ...(Number.isInteger(weeks) && weeks >= 1 && weeks <= 26 ? {} : { weeks: t('ahead.promiseError.weeks') }),
    };
    setWrong(found);
    if (Object.keys(found).length > 0 || !isCalendarDay(form.day)) return;
    onAsk({ strainId: form.strainId, kilograms, day: form.day, weeks, care: form.care });
  };
  return (
    <form className="promise" onSubmit={ask} noValidate>
      <div className="field-grid">
        <SelectField
          label={t('field.strain')}
          value={form.strainId}
          onChange={(event) => set({ strainId: event.target.value })}
        >
          {strains.map(({ id, code, name }) => (
            <option key={id} value={id}>
              {t('format.strain', { code, name })}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('field.promiseMass')}
          unit={t('unit.kg')}
          inputMode="decimal"
          error={wrong.kilograms}
          value={form.kilograms}
          onChange={(event) => set({ kilograms: event.target.value })}
        />
        <DayField
          label={t('field.promiseDay')}
          error={wrong.day}
          value={form.day}
          onChange={(event) => set({ day: event.target.value })}
        />
        <TextField
          label={t('field.promiseWeeks')}
          unit={t('ahead.weeksUnit')}
          inputMode="numeric"
          error={wrong.weeks}
          value={form.weeks}
          onChange={(event) => set({ weeks: event.target.value })}
        />
        <SelectField
          label={t('field.promiseCare')}
          hint={t('ahead.promiseHint')}
          value={form.care}
          onChange={(event) => set({ care: event.target.value as PromiseQuery['care'] })}
        >
          <option value="low">{t('ahead.care.low')}</option>
          <option value="mean">{t('ahead.care.mean')}</option>
        </SelectField>
      </div>
      <div>
        <Button type="submit" look="main">
          {t('command.reckonPromise')}
        </Button>
      </div>
    </form>
  );
}

function Answer({ answer }: { readonly answer: HarvestPromise }) {
  const { bearing, efficiency, runs, tooLate, surplusG, spawnRate, substrateMoisture } = answer;
  return (
    <div className="promise" aria-live="polite">
      {tooLate.map(({ day, missingG, spawnBy }) => (
        <Notice key={day} tone="alarm">
          {t('ahead.promiseTooLate', { mass: formatMass(missingG), day: formatDay(day), by: formatDay(spawnBy) })}
        </Notice>
      ))}
      {runs.length === 0 ? (
        tooLate.length === 0 && <p>{t('ahead.promiseNothing')}</p>
      ) : (
        <DataTable
          caption={t('ahead.promiseRuns')}
          rows={runs}
          rowKey={({ day }) => day}
          columns={[
            { key: 'day', head: t('column.day'), cell: ({ day }) => formatDay(day) },
            { key: 'wet', head: t('column.wetSubstrate'), numeric: true, cell: (run) => formatMass(run.substrateWetG) },
            { key: 'spawn', head: t('column.spawn'), numeric: true, cell: ({ spawnG }) => formatMass(spawnG) },
            {
              key: 'serves',
              head: t('column.serves'),
              prose: true,
              cell: ({ serves }) => serves.map((day) => formatDay(day)).join('; '),
            },
          ]}
        />
      )}
      {surplusG >= 1 && <p>{t('ahead.promiseSurplus', { mass: formatMass(surplusG) })}</p>}
      <p className="soft">
        {t('ahead.promiseAnswer', {
          share: formatShare(efficiency),
          days: formatNumber(Math.round(bearing.daysToFirstHarvest)),
          runs: bearing.runs,
          rate: formatShare(spawnRate),
          moisture: formatShare(substrateMoisture),
        })}
      </p>
    </div>
  );
}
