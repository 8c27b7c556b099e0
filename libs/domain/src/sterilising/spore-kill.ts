import { requireThat } from '../errors.js';
import { type Published, published } from '../species/published-value.js';

/** A spore that heat must kill, with the minutes that kill nine in ten at its reference temperature. */
export interface HeatResistantSpore {
  readonly key: string;
  readonly name: string;
  readonly dMin: Published;
  readonly referenceC: number;
  readonly zC: Published;
}

const z = published(10, 'Food-thermal', 'read', { range: [9, 12] });

export const spores: readonly HeatResistantSpore[] = [
  {
    key: 'geobacillus-stearothermophilus',
    name: 'Geobacillus stearothermophilus, the marker of steam sterilisers',
    dMin: published(1.5, 'Food-thermal', 'read', { range: [1, 2] }),
    referenceC: 121.1,
    zC: z,
  },
  {
    key: 'clostridium-botulinum',
    name: 'Clostridium botulinum, the marker of canning',
    dMin: published(0.21, 'Food-thermal', 'memory', { note: '12 D is 2.52 minutes' }),
    referenceC: 121.1,
    zC: z,
  },
  {
    key: 'bacillus-subtilis',
    name: 'Bacillus subtilis group, the sour rot of grain',
    dMin: published(0.5, 'Food-thermal', 'memory', { range: [0.1, 1], note: 'varies widely; unchecked' }),
    referenceC: 121.1,
    zC: z,
  },
];

/** Minutes that kill nine in ten at a temperature. `decimalReductionMin(0.21, 121.1, 10, 115)` is 0.8555. */
export function decimalReductionMin(dMin: number, referenceC: number, zC: number, temperatureC: number): number {
  requireThat(dMin > 0 && zC > 0, 'spore-out-of-range', `D and z lie above 0, not ${dMin} and ${zC}.`);
  return dMin * 10 ** ((referenceC - temperatureC) / zC);
}

/** How many times over nine in ten are killed. `logReduction(12, 1.5)` is 8. */
export function logReduction(f0Min: number, dMin: number): number {
  requireThat(f0Min >= 0 && dMin > 0, 'spore-out-of-range', `F0 is 0 or more and D above 0, not ${f0Min} and ${dMin}.`);
  return f0Min / dMin;
}

/** Spores expected to live of a number at the start. `survivors(100, 12, 1.5)` is 1e-6. */
export const survivors = (atStart: number, f0Min: number, dMin: number): number =>
  atStart * 10 ** -logReduction(f0Min, dMin);

/** z from two D values: `zFromTwo(10, 112.8, 0.1, 132.2)` is 9.7 °C. */
export function zFromTwo(dLowMin: number, lowC: number, dHighMin: number, highC: number): number {
  requireThat(dLowMin > dHighMin && highC > lowC, 'spore-out-of-range', 'The hotter D must be the shorter one.');
  return (highC - lowC) / Math.log10(dLowMin / dHighMin);
}
