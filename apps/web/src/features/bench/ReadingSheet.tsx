import type { SteriliserCycle } from '@jarfold/domain';
import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { Caution } from '../../ui/Caution.js';
import { BenchSheet } from './BenchSheet.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { Stepper } from './Stepper.js';

/** Where the steps begin: the boil in an open pot, 15 psi in a pressure vessel. */
const BOIL_C = 100;
const USUAL_GAUGE_KPA = 103;

/** What gauge and thermometer show now, as often as a person looks: each reading is an entry with its own time. */
export function ReadingSheet({ cycle, onClose }: { readonly cycle: SteriliserCycle; readonly onClose: () => void }) {
  const { act } = useBench();
  const pressure = cycle.method === 'pressure';
  const [gaugePressureKpa, setGauge] = useState<number | null>(null);
  const [temperatureC, setTemperature] = useState<number | null>(null);
  const [boilLost, setBoilLost] = useState(false);
  const said = gaugePressureKpa !== null || temperatureC !== null || boilLost;
  const save = async () => {
    const payload = {
      cycleId: cycle.id,
      ...(gaugePressureKpa === null ? {} : { gaugePressureKpa }),
      ...(temperatureC === null ? {} : { temperatureC }),
      ...(boilLost ? { boilLost } : {}),
    };
    if (said && (await act({ kind: 'cycle_held', payload }))) onClose();
  };
  return (
    <BenchSheet title={t('bench.reading.title', { cycle: cycle.code })} onClose={onClose}>
      {pressure && (
        <Stepper
          label={t('bench.ask.gauge')}
          unit={t('unit.kilopascals')}
          value={gaugePressureKpa}
          leap={10}
          max={400}
          start={cycle.gaugePressureKpa ?? USUAL_GAUGE_KPA}
          onChange={setGauge}
        />
      )}
      <Stepper
        label={t('bench.ask.temperature')}
        unit={t('unit.celsius')}
        value={temperatureC}
        leap={10}
        max={200}
        start={cycle.temperatureC ?? BOIL_C}
        onChange={setTemperature}
      />
      <BoilLost pressure={pressure} lost={boilLost} onChange={setBoilLost} />
      <BigButton look="main" aria-disabled={!said} hint={said ? undefined : t('bench.reading.nothing')} onClick={save}>
        {t('command.logReading')}
      </BigButton>
      {pressure && <Caution hazards={['pressure']} />}
    </BenchSheet>
  );
}

/** A hold that was broken counts from when it came back: the cycle is judged as interrupted. */
export function BoilLost({
  pressure,
  lost,
  onChange,
}: {
  readonly pressure: boolean;
  readonly lost: boolean;
  readonly onChange: (lost: boolean) => void;
}) {
  return (
    <BigButton chosen={lost} onClick={() => onChange(!lost)}>
      {t(pressure ? 'bench.reading.pressureLost' : 'bench.reading.boilLost')}
    </BigButton>
  );
}

/** The last reading in words; null when there is none. */
export function readingWords({ gaugePressureKpa, temperatureC }: SteriliserCycle): string | null {
  const parts = [
    gaugePressureKpa === null ? null : t('bench.step.value', { value: gaugePressureKpa, unit: t('unit.kilopascals') }),
    temperatureC === null ? null : t('bench.step.value', { value: temperatureC, unit: t('unit.celsius') }),
  ].filter((part) => part !== null);
  return parts.length === 0 ? null : t('bench.reading.last', { reading: parts.join(', ') });
}
