import type { LoggedGrainBatch, SizeCount } from '@jarfold/domain';
import { useState } from 'react';
import { useSearch } from 'wouter';
import { t } from '../../messages/translate.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { Stepper } from './Stepper.js';

const MOST_JARS = 1000;

/** How many jars of each size a grain batch was filled into, and what it weighed if somebody looked. */
export function FillSheet({ batch, onClose }: { readonly batch: LoggedGrainBatch; readonly onClose: () => void }) {
  const { farm, act } = useBench();
  const wanted = new URLSearchParams(useSearch());
  const sizes = farm.sizes.filter(({ archived }) => !archived);
  const [counts, setCounts] = useState<Readonly<Record<string, number>>>(() => {
    const size = wanted.get('size') ?? sizes[0]?.id;
    return size ? { [size]: Number(wanted.get('count') ?? 12) } : {};
  });
  const [hydratedKg, setHydratedKg] = useState<number | null>(null);
  const fills = countsOf(counts);
  const save = async () => {
    const weighed = hydratedKg === null || hydratedKg === 0 ? {} : { hydratedG: hydratedKg * 1000 };
    const payload = { grainBatchId: batch.id, fills, ...weighed };
    if (fills.length > 0 && (await act({ kind: 'grain_filled', payload }))) onClose();
  };
  return (
    <BenchSheet title={t('bench.prepare.fillTitle', { batch: batch.code })} onClose={onClose}>
      {sizes.map(({ id, name }) => (
        <Stepper
          key={id}
          label={name}
          unit={t('unit.jars')}
          value={counts[id] ?? 0}
          leap={10}
          max={MOST_JARS}
          onChange={(count) => setCounts({ ...counts, [id]: Math.round(count) })}
        />
      ))}
      <Stepper
        label={t('bench.ask.hydrated')}
        unit={t('unit.kg')}
        value={hydratedKg}
        step={0.5}
        leap={5}
        max={1000}
        onChange={setHydratedKg}
      />
      <BigButton
        look="main"
        aria-disabled={fills.length === 0}
        hint={fills.length === 0 ? t('bench.save.noJars') : undefined}
        onClick={save}
      >
        {t('bench.do.fill', { count: fills.reduce((sum, { count }) => sum + count, 0) })}
      </BigButton>
    </BenchSheet>
  );
}

function countsOf(counts: Readonly<Record<string, number>>): readonly SizeCount[] {
  return Object.entries(counts).flatMap(([sizeId, count]) => (count > 0 ? [{ sizeId, count }] : []));
}
