import {
  type ContainerSize,
  findGrain,
  type GrainBatch,
  grainBatch,
  grainKinds,
  mineralRecipes,
  type PlannedPreparation,
  usualFillShare,
  usualTargetMoisture,
} from '@jarfold/domain';
import type { FarmWorkbook } from '../farm/read-farm.js';
import { nameKey } from '../sheets/clean-text.js';

/** What to weigh out for one preparation day, in grams and millilitres. */
export interface GrainList {
  readonly grain: string;
  readonly grainG: number;
  /** Water to simmer it in; most of it is drained off again. */
  readonly cookingWaterMl: number;
  readonly gypsumG: number;
  readonly chalkG: number;
}

/** Common practice, no source: grain for one jar in twenty more, for spill and stuck kernels. */
const SPARE_SHARE = 0.05;

export function grainList({ containers }: PlannedPreparation, farm: FarmWorkbook): GrainList {
  const settings = farm.rows.farm;
  const grain = findGrain(settings.grain ?? '') ?? grainKinds[0]!;
  const batches = containers.map(({ sizeId, count }) => batchOf(sizeId, count, farm));
  const total = (of: (batch: GrainBatch) => number) => batches.reduce((sum, batch) => sum + of(batch), 0);
  return {
    grain: grain.name,
    grainG: total(({ grainG }) => grainG),
    cookingWaterMl: total(({ cookingWaterMl }) => cookingWaterMl),
    gypsumG: total(({ gypsumG }) => gypsumG),
    chalkG: total(({ chalkG }) => chalkG),
  };
}

function batchOf(sizeId: string, jars: number, { situation, rows }: FarmWorkbook): GrainBatch {
  const { grain, grainMoisture, targetMoisture, fillShare, minerals } = rows.farm;
  const kind = findGrain(grain ?? '') ?? grainKinds[0]!;
  const size = situation.sizes.find(({ id }) => id === sizeId) as ContainerSize;
  const row = rows.sizes.find((each) => nameKey(each.size ?? '') === nameKey(sizeId));
  const moisture = grainMoisture ?? kind.moisture.value;
  return grainBatch({
    jarVolumeMl: size.volumeMl,
    fillShare: fillShare ?? usualFillShare.value,
    grain: { bulkDensityGPerMl: kind.bulkDensityGPerMl.value, moisture },
    targetMoisture: targetMoisture ?? usualTargetMoisture.value,
    jars,
    spareShare: SPARE_SHARE,
    minerals: mineralRecipes.find(({ key }) => key === minerals) ?? mineralRecipes[0]!,
    weighedGrainPerJarG: row?.grainGrams ?? null,
  });
}
