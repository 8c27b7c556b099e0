import { requireThat } from '../errors.js';

/**
 * What a spawn rate is a share of: the same "5 %" means three different masses.
 * - `wet/wet`: ripe spawn per wet substrate
 * - `wet/dry`: ripe spawn per dry substrate
 * - `dry/dry`: the spawn's dry matter per dry substrate
 * The substrate's mass never includes the spawn.
 */
export type SpawnRateBasis = 'wet/wet' | 'wet/dry' | 'dry/dry';

export const spawnRateBases: readonly SpawnRateBasis[] = ['wet/wet', 'wet/dry', 'dry/dry'];

export interface Moistures {
  /** Water per total mass of the bulk substrate, 0 up to below 1. */
  readonly substrateMoisture: number;
  /** Water per total mass of the ripe spawn, 0 up to below 1. */
  readonly spawnMoisture: number;
}

/**
 * Grams of ripe spawn per gram of wet substrate, whatever basis the rate was given on.
 * @throws DomainError `spawn-rate-out-of-range`, `moisture-out-of-range`
 * @example wetRate(0.05, 'dry/dry', { substrateMoisture: 0.65, spawnMoisture: 0.5 }) // 0.035
 */
export function wetRate(rate: number, basis: SpawnRateBasis, { substrateMoisture, spawnMoisture }: Moistures): number {
  requireThat(
    rate > 0 && rate <= 1,
    'spawn-rate-out-of-range',
    `A spawn rate is a share above 0 up to 1, not ${rate}; 5 % is 0.05.`,
  );
  for (const moisture of [substrateMoisture, spawnMoisture])
    requireThat(
      moisture >= 0 && moisture < 1,
      'moisture-out-of-range',
      `A moisture on a wet basis lies from 0 up to below 1, not ${moisture}.`,
    );
  const perDry = basis === 'wet/wet' ? 1 : 1 - substrateMoisture;
  return (rate * perDry) / (basis === 'dry/dry' ? 1 - spawnMoisture : 1);
}

/**
 * The same amount of spawn told on another basis.
 * @example convertSpawnRate(0.15, 'wet/dry', 'dry/dry', { substrateMoisture: 0, spawnMoisture: 0.5 }) // 0.075 (GGMM p. 128)
 */
export function convertSpawnRate(rate: number, from: SpawnRateBasis, to: SpawnRateBasis, moistures: Moistures): number {
  const perWet = wetRate(rate, from, moistures);
  if (to === 'wet/wet') return perWet;
  const perDry = perWet / (1 - moistures.substrateMoisture);
  return to === 'wet/dry' ? perDry : perDry * (1 - moistures.spawnMoisture);
}
