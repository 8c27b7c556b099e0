import { seededRandom } from '../statistics/seeded-random.js';
import type { Season, Statement } from './live-season.js';

/** Stated against realised, for statements from one probability up to another. */
export interface Calibration {
  readonly from: number;
  readonly to: number;
  readonly statements: number;
  readonly stated: number;
  readonly realised: number;
  /** 95 % interval of the realised share; whole seasons are drawn again, since runs of one season share their luck. */
  readonly low: number;
  readonly high: number;
  readonly inside: boolean;
}

const RESAMPLES = 1000;

/** How stated probabilities came true, with season-clustered 95 % intervals by bootstrap. */
export interface Calibrations {
  /** All statements as one: whether runs stay uncovered as often as was stated, whatever was stated of each. */
  readonly all: Calibration;
  /** By tenths of the stated probability; only those in which something was stated. */
  readonly tenths: readonly Calibration[];
}

/** @param within days before the run that statements are taken from, both included; the last such statement of each run */
export function calibration(seasons: readonly Season[], within: readonly [from: number, to: number]): Calibrations {
  const clusters = seasons.map((season) => lastStatements(season.statements, within));
  const tenths = Array.from({ length: 10 }, (_, tenth) => between(clusters, tenth / 10, (tenth + 1) / 10, tenth + 1));
  return { all: between(clusters, 0, 1, 0), tenths: tenths.filter(({ statements }) => statements > 0) };
}

function lastStatements(statements: readonly Statement[], [from, to]: readonly [number, number]): Statement[] {
  const last = new Map<string, Statement>();
  for (const statement of statements) {
    if (statement.daysBefore < from || statement.daysBefore > to) continue;
    const before = last.get(statement.run);
    if (!before || statement.daysBefore < before.daysBefore) last.set(statement.run, statement);
  }
  return [...last.values()];
}

function between(clusters: readonly (readonly Statement[])[], from: number, to: number, seed: number): Calibration {
  const falls = ({ probability }: Statement) => probability >= from && (probability < to || to === 1);
  const counts = clusters.map((cluster) => {
    const own = cluster.filter(falls);
    const sum = own.reduce((total, { probability }) => total + probability, 0);
    return { n: own.length, hits: own.filter(({ covered }) => covered).length, sum };
  });
  const total = add(counts);
  const random = seededRandom(seed);
  const shares: number[] = [];
  for (let round = 0; round < RESAMPLES; round += 1) {
    const drawn = add(counts.map(() => counts[random.whole(counts.length)]!));
    if (drawn.n > 0) shares.push(drawn.hits / drawn.n);
  }
  shares.sort((one, other) => one - other);
  const stated = total.n > 0 ? total.sum / total.n : 0;
  const at = (share: number) => shares[Math.min(shares.length - 1, Math.floor(share * shares.length))] ?? 0;
  const [low, high] = [at(0.025), at(0.975)];
  return {
    from,
    to,
    statements: total.n,
    stated,
    realised: total.n > 0 ? total.hits / total.n : 0,
    low,
    high,
    inside: stated >= low && stated <= high,
  };
}

function add(counts: readonly { readonly n: number; readonly hits: number; readonly sum: number }[]) {
  let [n, hits, sum] = [0, 0, 0];
  for (const count of counts) {
    n += count.n;
    hits += count.hits;
    sum += count.sum;
  }
  return { n, hits, sum };
}
