import { requireThat } from '../errors.js';

/** How the oven test is done: a sample of 100 g, 8 hours at 150 °C (GGMM p. 130, seen as a copy). */
export const ovenTest = { sampleG: 100, hours: 8, temperatureC: 150 } as const;

export interface DryingTest {
  readonly wetG: number;
  readonly dryG: number;
  /** Smallest step of the scale; it bounds what the test can tell. */
  readonly scaleStepG: number;
}

export interface MoistureFound {
  /** Water per total mass, 0 to 1. */
  readonly moisture: number;
  /** The moisture lies between these whatever the scale rounded away. */
  readonly low: number;
  readonly high: number;
}

/**
 * Moisture (wet basis) of a sample weighed before and after drying, with the bounds that the scale's step allows.
 * @throws DomainError `mass-out-of-range` unless 0 < dry ≤ wet and the step is above 0 and smaller than the dry mass.
 * @example moistureFromDrying({ wetG: 10, dryG: 2.3, scaleStepG: 0.1 }).moisture // 0.77
 */
export function moistureFromDrying({ wetG, dryG, scaleStepG }: DryingTest): MoistureFound {
  requireThat(
    dryG > 0 && dryG <= wetG && Number.isFinite(wetG),
    'mass-out-of-range',
    `A dried sample weighs more than 0 and no more than before: ${wetG} g wet, ${dryG} g dry.`,
  );
  requireThat(
    scaleStepG > 0 && scaleStepG < dryG,
    'mass-out-of-range',
    `A scale with a step of ${scaleStepG} g cannot weigh a dried sample of ${dryG} g.`,
  );
  const half = scaleStepG / 2;
  return {
    moisture: 1 - dryG / wetG,
    low: Math.max(0, 1 - (dryG + half) / (wetG - half)),
    high: 1 - (dryG - half) / (wetG + half),
  };
}
