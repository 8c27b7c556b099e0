import { normalQuantile } from '../../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData } from '../../statistics/estimate.js';
import { type Candidate, fewestLots, isTellable, scoreOf } from './candidate.js';
import type { FactorLevel, LotTable } from './observed-lot.js';
import type { RateModel } from './rate-model.js';

/**
 * - `explains`: blamed for an excess
 * - `cannot be told apart`: one of a set, one of which is blamed
 * - `suspected`: worse than the rest on its own, but among so many levels chance brings that about
 * - `no sign`: a doubling of the odds is ruled out
 * - `not enough data`: neither
 */
export type Verdict = 'explains' | 'cannot be told apart' | 'suspected' | 'no sign' | 'not enough data';

export interface LevelReport extends FactorLevel {
  readonly lots: number;
  readonly jars: number;
  readonly contaminated: number;
  readonly verdict: Verdict;
  /** Odds against the rest, with what was found held equal. */
  readonly oddsRatio: Estimate | NotEnoughData;
  /** The smallest odds ratio that so many lots would show in four of five tries. */
  readonly smallestTellable: number | null;
}

interface Context {
  readonly level: number;
  readonly found: ReadonlySet<Candidate>;
  readonly sets: readonly (readonly Candidate[])[];
}

const DOUBLED = 2;
/** Same weak penalty as the model: log-odds within about ±2.5. */
const PENALTY = 1 / 2.5 ** 2;

export function levelReports(
  table: LotTable,
  all: readonly Candidate[],
  model: RateModel,
  context: Context,
): readonly LevelReport[] {
  return all.map((candidate) => {
    const { factor, level, lots, jars, contaminated } = candidate;
    const common = { factor, level, lots, jars, contaminated };
    const set = context.sets.find((members) => members.includes(candidate));
    if (!isTellable(candidate) && !set) {
      const reason =
        candidate.share === 1
          ? 'every lot has this level, so there is nothing to compare with'
          : 'too few lots or losses';
      const none = notEnoughData(lots, fewestLots, reason);
      return { ...common, verdict: 'not enough data', oddsRatio: none, smallestTellable: null };
    }
    const blamedAt = context.sets.findIndex((members) => members[0] === candidate);
    const oddsRatio =
      blamedAt >= 0 ? blamedOdds(model, blamedAt, context, jars) : oddsOf(table, candidate, model, context.level);
    const verdict = set ? (set.length === 1 ? 'explains' : 'cannot be told apart') : verdictOf(oddsRatio);
    return { ...common, verdict, oddsRatio, smallestTellable: smallestTellable(candidate, model) };
  });
}

function verdictOf({ low, high }: Estimate): Verdict {
  if (low > 1) return 'suspected';
  return high < DOUBLED ? 'no sign' : 'not enough data';
}

function blamedOdds(model: RateModel, index: number, { level, sets }: Context, n: number): Estimate {
  const at = model.coefficients.length - sets.length + index;
  return around(model.coefficients[at]!, Math.sqrt(model.covariance[at]![at]!), level, n);
}

/**
 * One level's log-odds on top of the model, by Newton steps over its own rows. The model's common rate holds the level's
 * own jars too, so the contrast with the rest is larger by what the level's share of the information takes up.
 */
function oddsOf(table: LotTable, candidate: Candidate, model: RateModel, level: number): Estimate {
  const { rows, jars } = candidate;
  let logOdds = 0;
  let information = 1;
  for (let step = 0; step < 25; step++) {
    let slope = -PENALTY * logOdds;
    information = PENALTY;
    for (const row of rows) {
      const n = table.jars[row]!;
      const p0 = model.expected[row]! / n;
      const p = 1 / (1 + ((1 - p0) / p0) * Math.exp(-logOdds));
      slope += model.weight[row]! * (table.hits[row]! - n * p);
      information += model.weight[row]! * n * p * (1 - p);
    }
    const change = Math.max(-1, Math.min(1, slope / information));
    logOdds += change;
    if (Math.abs(change) < 1e-6) break;
  }
  const own = rows.reduce((sum, row) => sum + model.spread[row]!, 0);
  const share = own / Math.max(1e-9, scoreOf(candidate, model).information);
  return around(logOdds * share, Math.sqrt(share / information), level, jars);
}

function around(logOdds: number, standardError: number, level: number, n: number): Estimate {
  const half = normalQuantile(1 - (1 - level) / 2) * standardError;
  return {
    kind: 'estimate',
    value: Math.exp(logOdds),
    low: Math.exp(logOdds - half),
    high: Math.exp(logOdds + half),
    level,
    n,
  };
}

/** Detected at about three standard errors, in four of five tries with 0.84 more. */
function smallestTellable(candidate: Candidate, model: RateModel): number | null {
  const { information } = scoreOf(candidate, model);
  return information > 0 ? Math.exp((3 + 0.84) / Math.sqrt(information)) : null;
}
