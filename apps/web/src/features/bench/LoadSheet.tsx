import type { LoggedGrainBatch, SteriliserCycle, SterilisingMethod } from '@jarfold/domain';
import { useState } from 'react';
import { type MessageKey, t } from '../../messages/translate.js';
import { Caution } from '../../ui/Caution.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton, Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { minutesSince } from './elapsed.js';
import { BoilLost } from './ReadingSheet.js';
import { Stepper } from './Stepper.js';
import { waitingOf } from './waiting-grain.js';

const METHODS = [
  { value: 'pressure', label: 'method.pressure' },
  { value: 'boiling_water_steam', label: 'method.boiling' },
  { value: 'two_day_steam', label: 'method.twoDay' },
  { value: 'ready_bought', label: 'method.bought' },
] as const satisfies readonly { value: SterilisingMethod; label: MessageKey }[];

/** Everything filled and not loaded goes in, unless the person says how many. */
export function LoadSheet({
  batches,
  onClose,
}: {
  readonly batches: readonly LoggedGrainBatch[];
  readonly onClose: () => void;
}) {
  const { core, farm, act } = useBench();
  const [method, setMethod] = useState<SterilisingMethod>('pressure');
  const waiting = batches.flatMap((batch) =>
    waitingOf(batch).map((load) => ({ ...load, grainBatchId: batch.id, batch: batch.code })),
  );
  const [counts, setCounts] = useState<Readonly<Record<string, number>>>(() =>
    Object.fromEntries(waiting.map(({ grainBatchId, sizeId, count }) => [`${grainBatchId}/${sizeId}`, count])),
  );
  const loads = waiting.flatMap(({ grainBatchId, sizeId }) => {
    const count = counts[`${grainBatchId}/${sizeId}`] ?? 0;
    return count > 0 ? [{ grainBatchId, sizeId, count }] : [];
  });
  const save = async () => {
    const payload = { cycleId: core.newId(), method, loads };
    if (await act({ kind: 'cycle_started', payload })) onClose();
  };
  return (
    <BenchSheet title={t('command.startCycle')} onClose={onClose}>
      <Choices
        label={t('bench.ask.method')}
        value={method}
        choices={METHODS.map(({ value, label }) => ({ value, label: t(label) }))}
        onChoose={setMethod}
      />
      {waiting.length === 0 && <p>{t('bench.prepare.nothingFilled')}</p>}
      {waiting.map(({ grainBatchId, sizeId, batch, count: most }) => (
        <Stepper
          key={`${grainBatchId}/${sizeId}`}
          label={t('bench.prepare.load', { batch, size: farm.sizes.find(({ id }) => id === sizeId)?.name ?? '' })}
          unit={t('unit.jars')}
          value={counts[`${grainBatchId}/${sizeId}`] ?? 0}
          max={most}
          onChange={(count) => setCounts({ ...counts, [`${grainBatchId}/${sizeId}`]: Math.round(count) })}
        />
      ))}
      {method === 'pressure' && <Caution hazards={['pressure']} />}
      <BigButton look="main" onClick={save}>
        {t('bench.do.start', { count: loads.reduce((sum, { count }) => sum + count, 0) })}
      </BigButton>
    </BenchSheet>
  );
}

/** The hold the timer has counted is offered; the person says what it was. */
export function EndSheet({ cycle, onClose }: { readonly cycle: SteriliserCycle; readonly onClose: () => void }) {
  const { core, act } = useBench();
  const counted = cycle.heldAtMs === null ? 90 : minutesSince(cycle.heldAtMs, core.nowMs());
  const [holdMin, setHoldMin] = useState(counted);
  const [boilLost, setBoilLost] = useState(false);
  const save = async () => {
    const payload = { cycleId: cycle.id, holdMin, ...(boilLost ? { boilLost } : {}) };
    if (await act({ kind: 'cycle_ended', payload })) onClose();
  };
  return (
    <BenchSheet title={t('bench.prepare.endTitle', { cycle: cycle.code })} onClose={onClose}>
      <Stepper
        label={t('bench.ask.hold')}
        unit={t('unit.minutes')}
        value={holdMin}
        step={1}
        leap={10}
        max={1440}
        onChange={(value) => setHoldMin(Math.round(value))}
      />
      <BoilLost pressure={cycle.method === 'pressure'} lost={boilLost} onChange={setBoilLost} />
      <Caution hazards={cycle.method === 'pressure' ? ['pressure', 'hotGlass'] : ['hotGlass']} />
      <BigButton look="main" onClick={save}>
        {t('command.endCycle')}
      </BigButton>
    </BenchSheet>
  );
}
