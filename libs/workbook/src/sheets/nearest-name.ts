/**
 * The name closest to what was written, when it is close enough to be a slip: at most a third of its letters changed,
 * missing, added or swapped with their neighbour.
 */
export function nearestName(written: string, names: Iterable<string>): string | null {
  let best: string | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const name of names) {
    const allowed = Math.max(1, Math.floor(Math.max(written.length, name.length) / 3));
    if (Math.abs(name.length - written.length) > allowed) continue;
    const distance = slipsBetween(written.toLowerCase(), name.toLowerCase());
    if (distance <= allowed && distance < bestDistance) [best, bestDistance] = [name, distance];
  }
  return best;
}

/** Optimal string alignment distance: a swap of neighbours counts once. */
export function slipsBetween(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const changed = (last[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let distance = Math.min(changed, (last[j] ?? 0) + 1, (current[j - 1] ?? 0) + 1);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) distance = Math.min(distance, (beforeLast[j - 2] ?? 0) + 1);
      current.push(distance);
    }
    [beforeLast, last] = [last, current];
  }
  return last[b.length] ?? 0;
}
