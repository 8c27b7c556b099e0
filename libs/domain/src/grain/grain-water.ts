import { requireThat } from '../errors.js';

/**
 * Water that a gram of grain as bought takes up to reach a target moisture, both on a wet basis (water per total mass).
 * Negative when the grain is wetter than the target.
 * @param grainMoisture 0 up to below 1
 * @param targetMoisture 0 up to below 1
 * @throws DomainError `moisture-out-of-range`
 * @example waterPerGramOfGrain(0.12, 0.5) // 0.76: 10 kg of grain at 12 % take 7.6 kg of water to reach 50 %
 */
export function waterPerGramOfGrain(grainMoisture: number, targetMoisture: number): number {
  requireMoisture(grainMoisture);
  requireMoisture(targetMoisture);
  return ((1 - grainMoisture) * targetMoisture) / (1 - targetMoisture) - grainMoisture;
}

/**
 * Moisture (wet basis) of grain after soaking, from its mass before and after: the dry matter stays, the rest is water.
 * This is how a farm finds its own grain's finished moisture without an oven.
 * @param grainG mass as bought, above 0
 * @param grainMoisture its moisture as bought
 * @param drainedG mass drained and surface-dry
 * @throws DomainError `moisture-out-of-range`, `mass-out-of-range` when the drained mass is below the dry matter
 * @example moistureAfterSoaking(1000, 0.12, 1760) // 0.5
 */
export function moistureAfterSoaking(grainG: number, grainMoisture: number, drainedG: number): number {
  requireMoisture(grainMoisture);
  const dryMatterG = grainG * (1 - grainMoisture);
  requireThat(
    Number.isFinite(drainedG) && grainG > 0 && drainedG >= dryMatterG,
    'mass-out-of-range',
    `Drained grain of ${drainedG} g is less than its own dry matter of ${dryMatterG} g: weigh again.`,
  );
  return 1 - dryMatterG / drainedG;
}

export function requireMoisture(moisture: number): void {
  requireThat(
    moisture >= 0 && moisture < 1,
    'moisture-out-of-range',
    `A moisture on a wet basis lies from 0 up to below 1, not ${moisture}.`,
    { value: moisture },
  );
}
