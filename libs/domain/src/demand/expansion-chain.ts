import { requireThat } from '../errors.js';

/**
 * Containers at each step of a multiplication, from the last generation back to the first: each level rounded up, since
 * half a mother jar cannot be made.
 * @param wanted containers of the last generation, whole
 * @param ratios how many containers one mother fills at each step, first step first
 * @returns containers per level, the first mother level first, the wanted level last
 * @throws DomainError `expansion-out-of-range`
 * @example expansionChain(120, [10, 10]) // [2, 12, 120] (GGMM p. 138: about one to ten per step)
 */
export function expansionChain(wanted: number, ratios: readonly number[]): readonly number[] {
  requireThat(
    Number.isInteger(wanted) && wanted >= 0 && ratios.every((ratio) => ratio > 0 && Number.isFinite(ratio)),
    'expansion-out-of-range',
    `No chain for ${wanted} containers with ratios ${ratios.join(', ')}: whole containers, ratios above 0.`,
  );
  const levels = [wanted];
  for (const ratio of [...ratios].reverse()) levels.unshift(Math.max(0, Math.ceil(levels[0]! / ratio - 1e-9)));
  return levels;
}
