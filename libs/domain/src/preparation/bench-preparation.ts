import { requireThat } from '../errors.js';
import { type GrainBatch, grainBatch } from '../grain/grain-batch.js';
import type { MineralRecipe } from '../grain/minerals.js';
import { type ShoppingLine, type Stocked, shoppingList } from '../grain/shopping-list.js';
import type { HeatMethod } from '../sterilising/methods.js';
import { type HoldGuidance, holdGuidance } from './hold-guidance.js';

/** Containers of one size to fill. */
export interface FillLine {
  readonly count: number;
  readonly volumeMl: number;
  /** Room one takes in the steriliser, in places of a one-litre jar. */
  readonly vesselPlaces: number;
}

export interface PreparationWanted {
  readonly lines: readonly FillLine[];
  readonly fillShare: number;
  readonly grain: {
    readonly name: string;
    readonly bulkDensityGPerMl: number;
    /** As bought, water per total mass. */
    readonly moisture: number;
  };
  readonly targetMoisture: number;
  readonly spareShare: number;
  readonly minerals: MineralRecipe;
  readonly method: HeatMethod;
  readonly altitudeM: number;
  readonly ratedGaugeKpa: number | null;
  readonly vesselPlaces: number;
  readonly stock: readonly Stocked[];
}

export interface BenchPreparation {
  readonly jars: number;
  readonly grainG: number;
  readonly cookingWaterMl: number;
  readonly waterTakenUpG: number;
  /** What the grain weighs when it is drained and ready: the check that the water was taken up. */
  readonly hydratedG: number;
  readonly gypsumG: number;
  readonly chalkG: number;
  readonly perLine: readonly { readonly line: FillLine; readonly batch: GrainBatch }[];
  readonly shopping: readonly ShoppingLine[];
  /** Fillings of the steriliser; each is heated as often as the method asks. */
  readonly loads: number;
  readonly heatings: number;
  /** Null when nothing is filled. */
  readonly hold: HoldGuidance | null;
}

/** What the shopping list calls the minerals. */
export const GYPSUM = 'gypsum';
export const CHALK = 'chalk';

/**
 * Everything the prep bench needs for some jars: grain, water, minerals, what to buy, loads and hold. Pure arithmetic:
 * it runs in a browser without a server.
 * @throws DomainError of {@link grainBatch}, {@link shoppingList}, {@link holdGuidance}; `vessel-out-of-range` for a
 *   steriliser or a container that has no room
 */
export function benchPreparation(wanted: PreparationWanted): BenchPreparation {
  const { lines, grain, vesselPlaces, method } = wanted;
  const perLine = lines.map((line) => ({ line, batch: batchOf(line, wanted) }));
  const sum = (value: (batch: GrainBatch) => number) => perLine.reduce((total, { batch }) => total + value(batch), 0);
  const [grainG, gypsumG, chalkG] = [sum((b) => b.grainG), sum((b) => b.gypsumG), sum((b) => b.chalkG)];
  const filled = lines.filter(({ count }) => count > 0);
  const loads = loadsFor(filled, vesselPlaces);
  const needs = [
    { item: grain.name, massG: grainG },
    ...(gypsumG > 0 ? [{ item: GYPSUM, massG: gypsumG }] : []),
    ...(chalkG > 0 ? [{ item: CHALK, massG: chalkG }] : []),
  ];
  return {
    ...{ grainG, gypsumG, chalkG, perLine, loads, heatings: loads * method.treatments },
    jars: lines.reduce((total, { count }) => total + count, 0),
    cookingWaterMl: sum((batch) => batch.cookingWaterMl),
    waterTakenUpG: sum((batch) => batch.waterTakenUpG),
    hydratedG: sum((batch) => batch.hydratedG),
    shopping: shoppingList(needs, wanted.stock),
    hold:
      filled.length === 0
        ? null
        : holdGuidance({ ...wanted, largestJarMl: Math.max(...filled.map(({ volumeMl }) => volumeMl)) }),
  };
}

const batchOf = (
  { count, volumeMl }: FillLine,
  { fillShare, grain, targetMoisture, spareShare, minerals }: PreparationWanted,
): GrainBatch =>
  grainBatch({
    ...{ jars: count, jarVolumeMl: volumeMl, fillShare, grain, targetMoisture, spareShare, minerals },
    weighedGrainPerJarG: null,
  });

/** Whole fillings: by room, and never fewer than whole containers can be put in. */
function loadsFor(lines: readonly FillLine[], vesselPlaces: number): number {
  requireThat(vesselPlaces > 0, 'vessel-out-of-range', `A steriliser has room for more than ${vesselPlaces} jars.`);
  for (const { vesselPlaces: each, volumeMl } of lines)
    requireThat(
      each > 0 && each <= vesselPlaces,
      'vessel-out-of-range',
      `A container of ${volumeMl} ml takes ${each} places of a steriliser that has ${vesselPlaces}.`,
    );
  // The largest first, each into the first filling with room left.
  const left: number[] = [];
  for (const { count, vesselPlaces: each } of [...lines].sort((one, other) => other.vesselPlaces - one.vesselPlaces)) {
    let rest = count;
    for (let i = 0; rest > 0; i++) {
      left[i] ??= vesselPlaces;
      const fit = Math.min(rest, Math.floor(left[i]! / each + 1e-9));
      left[i] = left[i]! - fit * each;
      rest -= fit;
    }
  }
  return left.length;
}
