import type { LoggedGrainBatch, SizeCount } from '@jarfold/domain';

/** Filled and not yet in a steriliser, by size. */
export function waitingOf({ filled, loaded }: LoggedGrainBatch): readonly SizeCount[] {
  return filled.flatMap(({ sizeId, count }) => {
    const left = count - (loaded.find((one) => one.sizeId === sizeId)?.count ?? 0);
    return left > 0 ? [{ sizeId, count: left }] : [];
  });
}
