import { requireThat } from '../errors.js';
import { gammaQuantile } from '../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData, usualLevel } from '../statistics/estimate.js';

/** One jar from inoculation until it was seen contaminated, used, discarded, or last looked at. */
export interface WatchedJar {
  /** Days since inoculation, 0 or more. */
  readonly days: number;
  readonly contaminated: boolean;
}

/** A span of days since inoculation: from `fromDay` up to but not including `toDay`. */
export interface HazardBand {
  readonly fromDay: number;
  readonly toDay: number;
  readonly jarDays: number;
  readonly contaminated: number;
  /** Contaminations per jar and day, with the exact Poisson interval (Garwood 1936). */
  readonly perJarDay: Estimate | NotEnoughData;
  /** Share of jars contaminated by the end of this band if none were used before. */
  readonly contaminatedByEnd: number;
}

export interface ContaminationHazard {
  readonly kind: 'hazard';
  readonly n: number;
  readonly contaminated: number;
  readonly bands: readonly HazardBand[];
}

const usualEdges = [0, 4, 8, 12, 16, 21, 28] as const;

/**
 * When contamination shows, by days since inoculation: early means the grain, the steriliser or the transfer, late means
 * handling or the room. Jars that are still clean or were used count for as long as they were watched. Cost is linear in
 * the jars.
 * @param edges ends of the bands in days, rising from 0; later days fall into the last band
 * @throws DomainError `time-out-of-range`, `bands-out-of-order`
 */
export function contaminationHazard(
  jars: readonly WatchedJar[],
  edges: readonly number[] = usualEdges,
  level = usualLevel,
): ContaminationHazard | NotEnoughData {
  requireThat(
    edges[0] === 0 && edges.length >= 2 && edges.every((edge, i) => i === 0 || edge > edges[i - 1]!),
    'bands-out-of-order',
    `Ends of bands rise from 0, not ${edges.join(', ')}.`,
  );
  if (jars.length === 0) return notEnoughData(0, 1, 'no jar has been watched');
  const { exposure, events } = tally(jars, edges);
  let clean = 1;
  const bands = exposure.map((jarDays, i) => {
    const [fromDay, toDay] = [edges[i]!, edges[i + 1]!];
    if (jarDays > 0) clean *= Math.exp((-events[i]! / jarDays) * (toDay - fromDay));
    const perJarDay = poissonRate(events[i]!, jarDays, level);
    return { fromDay, toDay, jarDays, contaminated: events[i]!, perJarDay, contaminatedByEnd: 1 - clean };
  });
  return { kind: 'hazard', n: jars.length, contaminated: events.reduce((sum, count) => sum + count, 0), bands };
}

/**
 * Chance that a jar clean at one age is contaminated by a later one: what a lot that looks clean on day 9 still has
 * before it. Ages beyond the last band count at its hazard.
 */
export function remainingRisk({ bands }: ContaminationHazard, cleanAtDay: number, byDay: number): number {
  const last = bands.length - 1;
  const exponent = bands.reduce((sum, { fromDay, toDay, jarDays, contaminated }, i) => {
    const end = i === last ? Math.max(toDay, byDay) : toDay;
    const days = Math.max(0, Math.min(end, byDay) - Math.max(fromDay, cleanAtDay));
    return sum + (jarDays > 0 ? (contaminated / jarDays) * days : 0);
  }, 0);
  return 1 - Math.exp(-exponent);
}

function tally(jars: readonly WatchedJar[], edges: readonly number[]) {
  const bands = edges.length - 1;
  const exposure = new Array<number>(bands).fill(0);
  const events = new Array<number>(bands).fill(0);
  for (const { days, contaminated } of jars) {
    requireThat(
      days >= 0 && Number.isFinite(days),
      'time-out-of-range',
      `A jar is watched for 0 days or more, not ${days}.`,
    );
    for (let i = 0; i < bands && edges[i]! <= days; i++) {
      const end = i === bands - 1 ? days : Math.min(days, edges[i + 1]!);
      exposure[i]! += end - edges[i]!;
      if (contaminated && (i === bands - 1 || days < edges[i + 1]!)) events[i]!++;
    }
  }
  return { exposure, events };
}

function poissonRate(events: number, exposure: number, level: number): Estimate | NotEnoughData {
  if (exposure <= 0) return notEnoughData(0, 1, 'no jar was watched in these days');
  const tail = (1 - level) / 2;
  return {
    kind: 'estimate',
    value: events / exposure,
    low: events === 0 ? 0 : gammaQuantile(tail, events, 1) / exposure,
    high: gammaQuantile(1 - tail, events + 1, 1) / exposure,
    level,
    n: Math.round(exposure),
  };
}
