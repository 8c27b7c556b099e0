import { requireThat } from '../errors.js';
import { type Moistures, type SpawnRateBasis, wetRate } from './spawn-rate.js';

/** Moisture of bulk substrate and of ripe grain spawn where a farm has not said: 65 % and 50 %, wet basis. */
export const usualMoistures: Moistures = { substrateMoisture: 0.65, spawnMoisture: 0.5 };

/** A bulk run as the farm states it. */
export interface RunWanted {
  /** The substrate as it lies there, wet. */
  readonly substrateWetG: number;
  readonly spawnRate: number;
  readonly basis: SpawnRateBasis;
  /** Least spawn it may get, as a share of the target; below it the run is not worth doing. */
  readonly minShare: number;
  /** Most spawn it takes, as a share of the target. */
  readonly maxShare: number;
  readonly moistures: Moistures;
}

export interface SpawnForRun {
  readonly minG: number;
  readonly targetG: number;
  readonly maxG: number;
  readonly substrateDryG: number;
}

/**
 * Grams of ripe spawn that a bulk run needs, whole grams, rounded up for the least and the target.
 * @throws DomainError `run-mass-out-of-range`, `run-shares-out-of-range`, and those of {@link wetRate}
 * @example spawnForRun({ substrateWetG: 100000, spawnRate: 0.05, basis: 'wet/wet', minShare: 0.8, maxShare: 1.2, moistures: usualMoistures }).targetG // 5000
 */
export function spawnForRun({
  substrateWetG,
  spawnRate,
  basis,
  minShare,
  maxShare,
  moistures,
}: RunWanted): SpawnForRun {
  requireThat(
    substrateWetG > 0 && Number.isFinite(substrateWetG),
    'run-mass-out-of-range',
    `A bulk run has more than 0 g of substrate, not ${substrateWetG}.`,
  );
  requireThat(
    minShare >= 0 && minShare <= 1 && maxShare >= 1 && Number.isFinite(maxShare),
    'run-shares-out-of-range',
    `The least share lies from 0 to 1 and the most is 1 or more, not ${minShare} and ${maxShare}.`,
  );
  const target = substrateWetG * wetRate(spawnRate, basis, moistures);
  return {
    minG: roundUp(target * minShare),
    targetG: roundUp(target),
    maxG: Math.max(roundUp(target), Math.floor(target * maxShare)),
    substrateDryG: substrateWetG * (1 - moistures.substrateMoisture),
  };
}

/** Up to whole grams, without paying a gram for a float's last digit. */
const roundUp = (grams: number): number => Math.max(0, Math.ceil(grams - 1e-6));

/**
 * Wet substrate for a dry mass.
 * @example substrateWetG(1000, 0.65) // 2857.14
 */
export function substrateWetG(substrateDryG: number, substrateMoisture: number): number {
  requireThat(
    substrateMoisture >= 0 && substrateMoisture < 1,
    'moisture-out-of-range',
    `A moisture on a wet basis lies from 0 up to below 1, not ${substrateMoisture}.`,
  );
  return substrateDryG / (1 - substrateMoisture);
}
