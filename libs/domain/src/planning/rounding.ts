import type { SpawnModel } from './spawn-model.js';
import { NONE } from './spawn-model.js';
import type { StrainView } from './strain-view.js';

/**
 * Whole starts near relaxed ones: along the bench slots the fractions of one generation and size are added up, and a
 * container is started whenever the sum passes a half. So the totals stay right at every point of time.
 */
export function roundStarts(model: SpawnModel, view: StrainView, relaxed: Float64Array): Int32Array {
  const counts = new Int32Array(view.starts.length);
  const sums = new Map<string, number>();
  view.starts.forEach((global, local) => {
    const start = model.starts[global]!;
    const key = `${start.generation}|${start.size}`;
    const before = sums.get(key) ?? 0;
    const after = before + relaxed[start.column]!;
    counts[local] = Math.max(0, Math.min(start.most, Math.round(after) - Math.round(before)));
    sums.set(key, after);
  });
  return counts;
}

/** For each run the way that gets most of it in the relaxed plan. */
export function roundChoices(model: SpawnModel, relaxed: Float64Array): Int32Array {
  return Int32Array.from(
    model.runs.map(({ choices }) => {
      if (choices.length < 2) return 0;
      let best = 0;
      choices.forEach(({ chosen }, choice) => {
        const shown = chosen === NONE ? 0 : relaxed[chosen]!;
        if (shown > relaxed[choices[best]!.chosen]! + 1e-6) best = choice;
      });
      return best;
    }),
  );
}
