/** Turns a value into a place along an axis. Values outside the domain land outside the range: nothing is clamped unseen. */
export type Scale = (value: number) => number;

export function linearScale([from, to]: readonly [number, number], [start, end]: readonly [number, number]): Scale {
  const span = to - from || 1;
  return (value) => start + ((value - from) / span) * (end - start);
}

/**
 * Round values that cover a range in about as many steps as asked: steps of 1, 2 or 5 times a power of ten.
 * The first is at or below `low`, the last at or above `high`.
 * @example niceTicks(0, 0.23, 4) // [0, 0.1, 0.2, 0.3]
 */
export function niceTicks(low: number, high: number, steps: number): readonly number[] {
  const span = high > low ? high - low : Math.abs(high) || 1;
  const rough = span / Math.max(1, steps);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((times) => times * power >= rough * (1 - 1e-9)) ?? 10);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}

/** Which of many labels fit when each takes so much room: every k-th, counted back from the last, which always stays. */
export function labelEvery(count: number, room: number, each: number): number {
  return Math.max(1, Math.ceil((count * each) / Math.max(1, room)));
}
