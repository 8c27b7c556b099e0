import type { RunVariables } from './spawn-model.js';

/** Grams a run lacks of its target. */
export function missingGrams({ short, belowTarget }: RunVariables, values: Float64Array): number {
  return values[short]! + values[belowTarget]!;
}
