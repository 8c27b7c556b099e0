import { daysBetween } from '@jarfold/domain';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { formatDay, formatMass } from '../../ui/format/index.js';
import { BenchScreen } from './BenchScreen.js';
import { Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { SaveBar } from './SaveBar.js';
import { Stepper } from './Stepper.js';

/** A run is picked from for some months; older ones are history, and an order bears nothing. Common practice, no source. */
const PICKED_FOR_DAYS = 120;

/** Weighing what was picked: run, flush, grams. */
export default function HarvestScreen() {
  const { farm, today, act } = useBench();
  const runs = farm.runs
    .filter(({ day, order }) => !order && day <= today && daysBetween(day, today) <= PICKED_FOR_DAYS)
    .sort((a, b) => (a.day < b.day ? 1 : -1));
  const [runId, setRunId] = useState<string | null>(runs[0]?.id ?? null);
  const [flush, setFlush] = useState(1);
  const [massG, setMassG] = useState<number | null>(null);
  const run = runs.find(({ id }) => id === runId);
  const save = async () => {
    if (!run || massG === null || massG <= 0) return;
    if (await act({ kind: 'harvested', payload: { runId: run.id, flush, massG } })) setMassG(null);
  };
  return (
    <BenchScreen title={t('command.harvest')}>
      {runs.length === 0 && <p>{t('bench.harvest.noRun')}</p>}
      <Choices
        label={t('bench.ask.run')}
        value={runId}
        choices={runs.slice(0, 8).map(({ id, name, day }) => ({ value: id, label: name, hint: formatDay(day) }))}
        onChoose={setRunId}
      />
      <Stepper
        label={t('bench.ask.flush')}
        unit=""
        value={flush}
        min={1}
        max={20}
        onChange={(value) => setFlush(Math.round(value))}
      />
      <Stepper
        label={t('bench.ask.picked')}
        unit={t('unit.g')}
        value={massG}
        step={100}
        leap={1000}
        max={1_000_000}
        onChange={setMassG}
      />
      <SaveBar
        jars={[]}
        label={
          run ? t('bench.do.harvest', { mass: formatMass(massG ?? 0), run: run.name }) : t('bench.do.harvestOfNoRun')
        }
        ready={run !== undefined && massG !== null && massG > 0}
        missing={t(run === undefined ? 'bench.ask.run' : 'bench.ask.picked')}
        onSave={save}
      />
    </BenchScreen>
  );
}
