import { type FarmGrain, farmFilling, knownGrain } from '../farm/index.js';
import { grainBatch, mineralRecipes } from '../grain/index.js';

/** Grain, water and minerals for one preparation day. */
export interface PreparationGrain {
  readonly grainKey: string;
  readonly grainName: string;
  readonly dryGrainG: number;
  readonly cookingWaterMl: number;
  readonly waterTakenUpG: number;
  readonly gypsumG: number;
  readonly chalkG: number;
  readonly targetMoisture: number;
}

/** Extra grain for spill and stuck kernels: one jar in twenty. Common practice, no source. */
const SPARE_SHARE = 0.05;

/** Containers of one size to fill. */
export interface ToFill {
  readonly volumeMl: number;
  readonly count: number;
}

/** What to weigh out for the containers of one preparation day, five in a hundred spare included. Whole grams. */
export function preparationGrain(containers: readonly ToFill[], grain: FarmGrain): PreparationGrain {
  const kind = knownGrain(grain.grainKey);
  const minerals = mineralRecipes[0]!;
  const batches = containers.map(({ volumeMl, count }) =>
    grainBatch({
      ...farmFilling(volumeMl, grain),
      jars: count,
      spareShare: SPARE_SHARE,
      minerals,
      weighedGrainPerJarG: null,
    }),
  );
  const total = (value: (batch: (typeof batches)[number]) => number) =>
    Math.round(batches.reduce((sum, batch) => sum + value(batch), 0));
  return {
    grainKey: kind.key,
    grainName: kind.name,
    dryGrainG: total((batch) => batch.grainG),
    cookingWaterMl: total((batch) => batch.cookingWaterMl),
    waterTakenUpG: total((batch) => batch.waterTakenUpG),
    gypsumG: total((batch) => batch.gypsumG),
    chalkG: total((batch) => batch.chalkG),
    targetMoisture: farmFilling(1000, grain).targetMoisture,
  };
}
