import type { FactorLevel, LotTable } from './observed-lot.js';
import { fitRateModel, type RateModel } from './rate-model.js';
import { sharedCauses, widening } from './shared-causes.js';

/** A level that may be to blame. */
export interface Candidate extends FactorLevel {
  /** Index of its factor in the table. */
  readonly factorIndex: number;
  readonly rows: readonly number[];
  /** Lots in it, blanks not counted. */
  readonly lots: number;
  readonly jars: number;
  readonly contaminated: number;
  /** Share of all lots. */
  readonly share: number;
  /** Contaminated jars it would have at the farm's common rate. */
  readonly usual: number;
}

/** Fewer lots than these, or fewer expected contaminated jars, cannot tell a doubling from chance. */
export const fewestLots = 3;
export const fewestUsual = 4;

export function candidates(table: LotTable): readonly Candidate[] {
  const allJars = table.jars.subarray(0, table.lots).reduce((sum, jars) => sum + jars, 0);
  const allHits = table.hits.subarray(0, table.lots).reduce((sum, hits) => sum + hits, 0);
  return table.factors.flatMap(({ factor, levels, rows }, factorIndex) =>
    levels.map((level, i) => {
      const lots = rows[i]!.filter((row) => row < table.lots);
      const jars = lots.reduce((sum, row) => sum + table.jars[row]!, 0);
      return {
        factor,
        level,
        factorIndex,
        rows: rows[i]!,
        lots: lots.length,
        jars,
        contaminated: lots.reduce((sum, row) => sum + table.hits[row]!, 0),
        share: lots.length / table.lots,
        usual: (jars * allHits) / allJars,
      };
    }),
  );
}

/** Whether there is enough in and outside the level to compare. */
export const isTellable = ({ lots, usual, share }: Candidate): boolean =>
  lots >= fewestLots && usual >= fewestUsual && share < 1;

/** How far a level's jars exceed what the model expects, in standard errors, and what adding it would rest on. */
export interface Score {
  readonly excess: number;
  readonly information: number;
  readonly z: number;
}

/** Score test of one more level on top of a fitted model. Linear in the level's rows. */
export function scoreOf({ rows }: Candidate, { residual, spread, x, covariance }: RateModel): Score {
  let [excess, own] = [0, 0];
  const shared = new Array<number>(covariance.length).fill(0);
  for (const row of rows) {
    excess += residual[row]!;
    own += spread[row]!;
    x[row]!.forEach((value, i) => {
      shared[i]! += spread[row]! * value;
    });
  }
  const information = own - quadratic(shared, covariance);
  return { excess, information, z: information > 1e-6 * own ? excess / Math.sqrt(information) : 0 };
}

const quadratic = (v: readonly number[], matrix: readonly (readonly number[])[]): number =>
  v.reduce((sum, vi, i) => sum + vi * matrix[i]!.reduce((inner, value, j) => inner + value * v[j]!, 0), 0);

export interface Tested {
  readonly candidate: Candidate;
  /** Signed root of the likelihood ratio, after widening for causes that lots share. */
  readonly z: number;
  readonly logOdds: number;
  readonly standardError: number;
  readonly model: RateModel;
}

/**
 * Adds a level to a model and tests it: the likelihood ratio, with its variance widened by what cycles, batches and
 * mothers share once the level is accounted for.
 */
export function testCandidate(
  table: LotTable,
  base: RateModel,
  blamedRows: readonly (readonly number[])[],
  candidate: Candidate,
  correlation: number,
): Tested | null {
  const model = fitRateModel(table, [...blamedRows, candidate.rows], correlation, base.coefficients);
  if (!model) return null;
  const last = model.coefficients.length - 1;
  const logOdds = model.coefficients[last]!;
  const wide = widening(table, sharedCauses(table, model), candidate.factorIndex, influenceOf(model, last));
  const gain = Math.max(0, 2 * (model.logLikelihood - base.logLikelihood));
  return {
    candidate,
    z: (Math.sign(logOdds) * Math.sqrt(gain)) / Math.sqrt(wide),
    logOdds,
    standardError: Math.sqrt(model.covariance[last]![last]! * wide),
    model,
  };
}

/** Influence of each row's standardised residual on one coefficient: its column, cleared of the others. */
function influenceOf({ x, covariance, spread }: RateModel, k: number): Float64Array {
  const row = covariance[k]!;
  return Float64Array.from(x, (values, i) => {
    const projected = values.reduce((sum, value, j) => sum + value * row[j]!, 0);
    return projected * Math.sqrt(spread[i]!);
  });
}
