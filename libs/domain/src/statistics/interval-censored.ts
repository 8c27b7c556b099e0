import { type NotEnoughData, notEnoughData } from './estimate.js';
import { type Between, jarsIn, requireTime } from './weibull.js';

/** A span of days that carries a share of the jars: after `afterDays`, by `byDays` (null: later than anything seen). */
export interface Mass {
  readonly afterDays: number;
  readonly byDays: number | null;
  readonly share: number;
}

export interface IntervalCensored {
  readonly kind: 'distribution';
  readonly masses: readonly Mass[];
  readonly logLikelihood: number;
  readonly n: number;
  /** How far the result is from the exact maximum: 0 at it (Karush–Kuhn–Tucker residual per jar). */
  readonly residual: number;
}

const MAX_STEPS = 20_000;
const TOLERANCE = 1e-9;

/**
 * Distribution of days when each jar is only known to have changed between two checks: the non-parametric maximum
 * likelihood (Turnbull, JRSS-B 38, 1976). Spans are half-open: after the last check before, by the first check after.
 * @throws DomainError `time-out-of-range`
 * Source of the check: Fay and Shaw, Journal of Statistical Software 36(2), 2010, on Finkelstein's breast cosmesis data.
 */
export function intervalCensoredDistribution(times: readonly Between[]): IntervalCensored | NotEnoughData {
  times.forEach(requireTime);
  if (times.length === 0) return notEnoughData(0, 1, 'no jar has been checked');
  const spans = innermostSpans(times);
  const covers = coverage(times, spans);
  const shares = maximise(covers, spans.length);
  const densities = covers.map(({ first, last }) => partialSum(shares, first, last));
  const jars = jarsIn(times);
  return {
    kind: 'distribution',
    masses: spans
      .map(({ afterDays, byDays }, i) => ({ afterDays, byDays, share: shares[i]! }))
      .filter(({ share }) => share > 1e-7),
    logLikelihood: densities.reduce((sum, density, i) => sum + covers[i]!.count * Math.log(density), 0),
    n: jars,
    residual: Math.max(0, ...gradient(covers, densities, spans.length)) / jars - 1,
  };
}

/** Days by which a share of the jars has changed: the end of the span in which the running sum reaches it, or null. */
export function intervalCensoredQuantile({ masses }: IntervalCensored, share: number): number | null {
  let sum = 0;
  for (const mass of masses) {
    sum += mass.share;
    if (sum >= share - 1e-9) return mass.byDays;
  }
  return null;
}

interface End {
  readonly days: number;
  readonly kind: 'exact' | 'right' | 'left';
}

const RANK = { right: 0, exact: 1, left: 2 } as const;
const FOREVER = Number.POSITIVE_INFINITY;

/**
 * The spans that can carry mass: a left end directly followed by a right end. At equal days a right end comes before a
 * left one, since spans are half-open. An exact day is a span of no length.
 */
function innermostSpans(times: readonly Between[]): readonly Between[] {
  const ends: End[] = [];
  for (const { afterDays, byDays } of times) {
    if (byDays === afterDays) ends.push({ days: afterDays, kind: 'exact' });
    else ends.push({ days: afterDays, kind: 'left' }, { days: byDays ?? FOREVER, kind: 'right' });
  }
  ends.sort((one, other) => one.days - other.days || RANK[one.kind] - RANK[other.kind]);
  const spans: Between[] = [];
  let left: number | null = null;
  let lastExact = -1;
  for (const { days, kind } of ends) {
    if (kind === 'left') left = days;
    else if (kind === 'right' && left !== null) {
      spans.push({ afterDays: left, byDays: days === FOREVER ? null : days });
      left = null;
    } else if (kind === 'exact' && days !== lastExact) {
      spans.push({ afterDays: days, byDays: days });
      lastExact = days;
      left = null;
    }
  }
  return spans;
}

interface Cover {
  readonly first: number;
  readonly last: number;
  readonly count: number;
}

/** For each jar the first and last span it may have changed in: they are consecutive, since spans are in order. */
function coverage(times: readonly Between[], spans: readonly Between[]): readonly Cover[] {
  return times.map(({ afterDays, byDays, count = 1 }) => {
    const by = byDays ?? FOREVER;
    const inside = (span: Between) => {
      const end = span.byDays ?? FOREVER;
      if (byDays === afterDays) return span.afterDays === afterDays && end === by;
      const begins = span.afterDays === end ? span.afterDays > afterDays : span.afterDays >= afterDays;
      return begins && end <= by;
    };
    const first = spans.findIndex(inside);
    return { first, last: spans.findLastIndex(inside), count };
  });
}

function maximise(covers: readonly Cover[], size: number): number[] {
  const jars = covers.reduce((sum, { count }) => sum + count, 0);
  let shares = new Array<number>(size).fill(1 / size);
  for (let step = 0; step < MAX_STEPS; step++) {
    const densities = covers.map(({ first, last }) => partialSum(shares, first, last));
    const slope = gradient(covers, densities, size);
    const next = shares.map((share, i) => (share * slope[i]!) / jars);
    if (
      Math.max(...next.map((share, i) => Math.abs(share - shares[i]!))) < TOLERANCE &&
      Math.max(...slope) / jars - 1 < 1e-7
    )
      return next;
    shares = next;
  }
  return shares;
}

/** Derivative of the log-likelihood by each span's share, by running sums: linear in jars and spans. */
function gradient(covers: readonly Cover[], densities: readonly number[], size: number): readonly number[] {
  const change = new Array<number>(size + 1).fill(0);
  covers.forEach(({ first, last, count }, i) => {
    change[first]! += count / densities[i]!;
    change[last + 1]! -= count / densities[i]!;
  });
  let running = 0;
  return change.slice(0, size).map((value) => {
    running += value;
    return running;
  });
}

function partialSum(shares: readonly number[], first: number, last: number): number {
  let sum = 0;
  for (let i = first; i <= last; i++) sum += shares[i]!;
  return sum;
}
