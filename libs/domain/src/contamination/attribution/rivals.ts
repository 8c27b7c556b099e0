import { type Candidate, scoreOf } from './candidate.js';
import type { RateModel } from './rate-model.js';

/** Levels whose lots hardly overlap are no rivals, however bad both are. */
const LEAST_OVERLAP = 0.7;
/** Twice the log of nineteen: a rival explains the data at least one nineteenth as well as the best, a 95 % set. */
const MOST_LESS = 2 * Math.log(19);

/**
 * Levels that explain the excess nearly as well as the best one because they cover nearly the same lots: the records
 * cannot tell them apart (the hand that always works in that room, the only mother of a strain). Best first.
 * @param model the model before the best level was added
 * @param logLikelihoodWith likelihood of the model with one more level, or null when it cannot be fitted
 * @param wider factors whose levels are rivals though they cover more lots than the best
 */
export function rivalsOf(
  best: Candidate,
  open: readonly Candidate[],
  model: RateModel,
  logLikelihoodWith: (candidate: Candidate) => number | null,
  wider: readonly string[] = [],
): readonly Candidate[] {
  const members = new Set(best.rows);
  const top = logLikelihoodWith(best);
  if (top === null) return [];
  return open
    .filter((candidate) => candidate !== best)
    .filter((each) => wider.includes(each.factor) || overlap(each, best, members, model) >= LEAST_OVERLAP)
    .map((candidate) => ({ candidate, behind: 2 * (top - (logLikelihoodWith(candidate) ?? Number.NEGATIVE_INFINITY)) }))
    .filter(({ candidate, behind }) => behind <= MOST_LESS && scoreOf(candidate, model).z > 0)
    .sort((one, other) => one.behind - other.behind)
    .map(({ candidate }) => candidate);
}

/** Correlation of the two levels' excesses when nothing is wrong. */
function overlap(one: Candidate, other: Candidate, membersOfOther: ReadonlySet<number>, model: RateModel): number {
  const both = one.rows.filter((row) => membersOfOther.has(row));
  if (both.length === 0) return 0;
  const size = model.covariance.length;
  const sums = (rows: readonly number[]) => {
    const shared = new Array<number>(size).fill(0);
    for (const row of rows) for (let i = 0; i < size; i++) shared[i]! += model.spread[row]! * model.x[row]![i]!;
    return shared;
  };
  const [a, b] = [sums(one.rows), sums(other.rows)];
  const cross = a.reduce(
    (sum, ai, i) => sum + ai * model.covariance[i]!.reduce((inner, value, j) => inner + value * b[j]!, 0),
    0,
  );
  const together = both.reduce((sum, row) => sum + model.spread[row]!, 0) - cross;
  return together / Math.sqrt(scoreOf(one, model).information * scoreOf(other, model).information);
}
