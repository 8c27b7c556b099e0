import type { StartOption } from './start-options.js';

/**
 * Whole starts near relaxed ones: along the bench slots the fractions of one generation and size are added up, and a
 * container is started whenever the sum passes a half. So the totals stay right at every point of time.
 */
export function roundStarts(options: readonly StartOption[], relaxed: (place: number) => number): Int32Array {
  const sums = new Map<string, number>();
  return Int32Array.from(options, (option, place) => {
    const key = `${option.generation}|${option.size}`;
    const before = sums.get(key) ?? 0;
    const after = before + relaxed(place);
    sums.set(key, after);
    return Math.max(option.fewest, Math.min(option.most, Math.round(after) - Math.round(before)));
  });
}
