import type { SizeCount } from './entry.js';

/** Adds counts size by size; sizes keep the order in which they first appeared. */
export function addCounts(have: readonly SizeCount[], more: readonly SizeCount[]): readonly SizeCount[] {
  const bySize = new Map(have.map(({ sizeId, count }) => [sizeId, count]));
  for (const { sizeId, count } of more) bySize.set(sizeId, (bySize.get(sizeId) ?? 0) + count);
  return [...bySize].map(([sizeId, count]) => ({ sizeId, count }));
}

export function countOf(counts: readonly SizeCount[], sizeId: string): number {
  return counts.find((entry) => entry.sizeId === sizeId)?.count ?? 0;
}
