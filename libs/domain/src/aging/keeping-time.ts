import { requireThat } from '../errors.js';
import { type Published, published } from '../species/published-value.js';
import type { SpeciesProfile } from '../species/species-profile.js';

/** How much faster spawn ages at 10 degrees more. */
export const agingQ10 = published(2, 'Trade', 'common practice', {
  range: [1.5, 3],
  note: 'a rule of thumb for stored living things; no publication for spawn found',
});

export type KeepingTime =
  | { readonly kind: 'keeps'; readonly days: number; readonly from: Published }
  | {
      /** The species is not chilled: its mycelium suffers below `notBelowC`. */
      readonly kind: 'do not chill';
      readonly notBelowC: number;
      /** Days it keeps at the given temperature, when that is warm enough; null when it is too cold. */
      readonly days: number | null;
      readonly from: Published;
    };

/**
 * Days a ripe jar keeps at a temperature, from the published days of its species: at its own store temperature as
 * published, and by the rule of Q10 elsewhere, but never longer than published.
 * @throws DomainError `temperature-out-of-range` outside −5 to 40 °C
 */
export function keepingTime({ spawn }: SpeciesProfile, temperatureC: number): KeepingTime {
  requireThat(
    temperatureC >= -5 && temperatureC <= 40,
    'temperature-out-of-range',
    `A store lies between −5 and 40 °C, not at ${temperatureC} °C.`,
  );
  if (!spawn.mayBeChilled || !spawn.coldLifeDays) {
    const notBelowC = spawn.coldHarmBelowC?.value ?? spawn.incubationTemperatureC.value;
    const days =
      temperatureC < notBelowC
        ? null
        : agedAt(spawn.warmLifeDays.value, spawn.incubationTemperatureC.value, temperatureC);
    return { kind: 'do not chill', notBelowC, days, from: spawn.coldHarmBelowC ?? spawn.warmLifeDays };
  }
  const days = agedAt(spawn.coldLifeDays.value, spawn.coldStoreTemperatureC.value, temperatureC);
  return { kind: 'keeps', days: Math.max(days, 0), from: spawn.coldLifeDays };
}

const agedAt = (days: number, knownC: number, temperatureC: number): number =>
  temperatureC <= knownC ? days : days * agingQ10.value ** ((knownC - temperatureC) / 10);

/** Activation energy customary for stored goods, kJ/mol (pharmacopoeia), and the gas constant, kJ/(mol K). */
const ACTIVATION = 83.144;
const GAS = 8.314462618e-3;

/**
 * How much faster a process runs at one temperature than at another, by its activation energy (Arrhenius).
 * @param activationKjPerMol above 0; about 50 doubles the pace per 10 degrees near 25 °C
 * @throws DomainError `temperature-out-of-range`
 * @example arrheniusRatio(50, 20, 30) // 1.967
 */
export function arrheniusRatio(activationKjPerMol: number, fromC: number, toC: number): number {
  requireThat(
    activationKjPerMol > 0 && Number.isFinite(activationKjPerMol) && [fromC, toC].every((c) => c > -80 && c < 200),
    'temperature-out-of-range',
    `An activation energy lies above 0 and temperatures between −80 and 200 °C, not ${activationKjPerMol}, ${fromC} and ${toC}.`,
  );
  return Math.exp((activationKjPerMol / GAS) * (1 / (fromC + 273.15) - 1 / (toC + 273.15)));
}

/**
 * The one steady temperature that ages as much as the readings did: warm hours count for more than cold ones (mean
 * kinetic temperature).
 * @throws DomainError `temperature-out-of-range` for no readings
 * @example meanKineticTemperatureC([20, 22, 25, 30]) // 25.03
 */
export function meanKineticTemperatureC(readingsC: readonly number[]): number {
  requireThat(
    readingsC.length > 0 && readingsC.every((c) => c > -80 && c < 100),
    'temperature-out-of-range',
    'A mean of temperatures needs readings between −80 and 100 °C.',
  );
  const mean = readingsC.reduce((sum, c) => sum + Math.exp(-ACTIVATION / (GAS * (c + 273.15))), 0) / readingsC.length;
  return -ACTIVATION / GAS / Math.log(mean) - 273.15;
}
