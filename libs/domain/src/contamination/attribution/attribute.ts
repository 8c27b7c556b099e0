import { requireThat } from '../../errors.js';
import { rateEstimate } from '../../statistics/binomial-interval.js';
import { normalCdf, normalQuantile } from '../../statistics/distributions.js';
import { type Estimate, type NotEnoughData, notEnoughData, usualLevel } from '../../statistics/estimate.js';
import { benjaminiHochberg } from '../../statistics/false-discovery.js';
import { type Candidate, candidates, isTellable, scoreOf, type Tested, testCandidate } from './candidate.js';
import { type LevelReport, levelReports } from './level-report.js';
import { type FactorLevel, type LotTable, lotTable, type ObservedBlank, type ObservedLot } from './observed-lot.js';
import { fitRateModel, lotCorrelation, type RateModel } from './rate-model.js';
import { rivalsOf } from './rivals.js';

/** One cause found. With more than one member, the farm's records cannot tell the members apart. */
export interface Cause {
  readonly members: readonly FactorLevel[];
  /** Odds of contamination against the rest, everything else found held equal. */
  readonly oddsRatio: Estimate;
  readonly rate: Estimate;
  /** Contaminated jars beyond what they would have been. */
  readonly excessJars: number;
  readonly lots: number;
  readonly jars: number;
  /** Chance of so much in an innocent level. */
  readonly pValue: number;
  /** Expected share of false calls when calling everything up to this one (Benjamini–Hochberg). */
  readonly falseDiscovery: number;
}

export interface Attribution {
  readonly kind: 'attribution';
  readonly lots: number;
  readonly jars: number;
  readonly blanks: number;
  readonly rate: Estimate;
  /** Likeness of two jars of a lot, after what was found. */
  readonly lotCorrelation: number;
  readonly causes: readonly Cause[];
  /** Every level of every factor, with what can be said of it. */
  readonly levels: readonly LevelReport[];
}

export interface AttributionOptions {
  /** Chance of blaming any innocent level in one look; shared out over factors, then over levels by their lots. */
  readonly falseAlarm?: number;
  readonly level?: number;
  /** Factors that rival any level that explains the excess no better, though their lots be far more. */
  readonly widerFactors?: readonly string[];
}

const FEWEST_LOTS = 20;
const FEWEST_HITS = 10;
const MOST_CAUSES = 6;
/** Levels looked at closely in each round; the others lie far behind. */
const CLOSE_LOOKS = 6;

/**
 * Which factors explain an excess of contamination, all at once: a penalised logistic model to which levels are added
 * one by one as long as one stands out, with the likeness of jars within lots and of lots within cycles, batches and
 * mothers allowed for. Levels that the records cannot tell apart are named as a set; levels with too few lots are
 * reported as such and never blamed.
 * @throws DomainError `count-out-of-range`, `lot-twice`, `level-out-of-range`
 * Simulated in tests/reference/attribution.test.ts; measured power in benchmarks/results.
 */
export function attribute(
  lots: readonly ObservedLot[],
  blanks: readonly ObservedBlank[] = [],
  { falseAlarm = 0.03, level = usualLevel, widerFactors = [] }: AttributionOptions = {},
): Attribution | NotEnoughData {
  requireThat(
    falseAlarm > 0 && falseAlarm < 1,
    'level-out-of-range',
    `A chance lies between 0 and 1, not ${falseAlarm}.`,
  );
  const table = lotTable(lots, blanks);
  const hits = table.hits.subarray(0, table.lots).reduce((sum, count) => sum + count, 0);
  const jars = table.jars.subarray(0, table.lots).reduce((sum, count) => sum + count, 0);
  if (table.lots < FEWEST_LOTS) return notEnoughData(table.lots, FEWEST_LOTS, 'too few lots to compare factors');
  if (hits < FEWEST_HITS || jars - hits < FEWEST_HITS)
    return notEnoughData(
      Math.min(hits, jars - hits),
      FEWEST_HITS,
      'too few contaminated or too few clean jars to compare factors',
    );
  return search(table, candidates(table), { hits, jars, falseAlarm, level, widerFactors });
}

interface Setting {
  readonly hits: number;
  readonly jars: number;
  readonly falseAlarm: number;
  readonly level: number;
  readonly widerFactors: readonly string[];
}

interface Blamed {
  readonly tested: Tested;
  readonly rivals: readonly Candidate[];
  readonly pValue: number;
}

function search(table: LotTable, all: readonly Candidate[], setting: Setting): Attribution | NotEnoughData {
  let open = all.filter(isTellable);
  const blamed: Blamed[] = [];
  let state = fitted(table, [], 0);
  while (state && blamed.length < MOST_CAUSES && open.length > 0) {
    const next = standout(table, state, open, rowsOf(blamed), setting);
    if (!next) break;
    blamed.push(next);
    const taken = new Set([next.tested.candidate, ...next.rivals]);
    open = open.filter((candidate) => !taken.has(candidate));
    const refitted = fitted(table, rowsOf(blamed), state.correlation);
    if (!refitted) {
      blamed.pop();
      break;
    }
    state = refitted;
  }
  if (!state) return notEnoughData(table.lots, FEWEST_LOTS, 'the records do not fix a common rate');
  return report(table, all, blamed, state, setting);
}

const rowsOf = (blamed: readonly Blamed[]) => blamed.map(({ tested }) => tested.candidate.rows);

interface State {
  readonly model: RateModel;
  readonly correlation: number;
}

/** Model and within-lot correlation, each given the other; two rounds settle both. */
function fitted(table: LotTable, rows: readonly (readonly number[])[], from: number): State | null {
  let correlation = from;
  let model = fitRateModel(table, rows, correlation);
  for (let round = 0; model && round < 2; round++) {
    correlation = lotCorrelation(table, model);
    model = fitRateModel(table, rows, correlation, model.coefficients);
  }
  return model && { model, correlation };
}

/** The level that stands out most, if it stands out beyond what chance among so many levels would bring. */
function standout(
  table: LotTable,
  { model, correlation }: State,
  open: readonly Candidate[],
  blamedRows: readonly (readonly number[])[],
  { falseAlarm, widerFactors }: Setting,
): Blamed | null {
  const allowance = falseAlarm / open.reduce((sum, { share }) => sum + share, 0);
  const scored = open
    .map((candidate) => ({ candidate, z: scoreOf(candidate, model).z }))
    .filter(({ z }) => z > 1.5)
    .sort((one, other) => other.z - one.z)
    .slice(0, CLOSE_LOOKS);
  const best = scored
    .map(({ candidate }) => testCandidate(table, model, blamedRows, candidate, correlation))
    .filter((tested) => tested !== null)
    .map((tested) => ({ tested, pValue: 1 - normalCdf(tested.z) }))
    .filter(({ tested, pValue }) => pValue <= allowance * tested.candidate.share)
    .sort((one, other) => other.tested.z - one.tested.z)[0];
  if (!best) return null;
  const logLikelihoodWith = ({ rows }: Candidate) =>
    fitRateModel(table, [...blamedRows, rows], correlation, model.coefficients)?.logLikelihood ?? null;
  return { ...best, rivals: rivalsOf(best.tested.candidate, open, model, logLikelihoodWith, widerFactors) };
}

function report(
  table: LotTable,
  all: readonly Candidate[],
  blamed: readonly Blamed[],
  { model, correlation }: State,
  { hits, jars, level }: Setting,
): Attribution {
  const open = all.filter(isTellable);
  const found = new Set(blamed.map(({ tested }) => tested.candidate));
  const pValues = open.map((candidate) => {
    const blame = blamed.find(({ tested }) => tested.candidate === candidate);
    return blame ? blame.pValue : 1 - normalCdf(scoreOf(candidate, model).z);
  });
  const adjusted = benjaminiHochberg(pValues);
  return {
    kind: 'attribution',
    lots: table.lots,
    jars,
    blanks: table.hits.length - table.lots,
    rate: rateEstimate(hits, jars, 'wilson', level) as Estimate,
    lotCorrelation: correlation,
    causes: blamed.map((blame, k) =>
      causeOf(table, blame, k, model, adjusted[open.indexOf(blame.tested.candidate)]!, level),
    ),
    levels: levelReports(table, all, model, {
      level,
      found,
      sets: blamed.map(({ rivals, tested }) => [tested.candidate, ...rivals]),
    }),
  };
}

function causeOf(
  table: LotTable,
  { tested, rivals, pValue }: Blamed,
  k: number,
  model: RateModel,
  falseDiscovery: number,
  level: number,
): Cause {
  const { candidate } = tested;
  const at = (table.lots < table.hits.length ? 2 : 1) + k;
  const logOdds = model.coefficients[at]!;
  const half =
    normalQuantile(1 - (1 - level) / 2) * Math.max(tested.standardError, Math.sqrt(model.covariance[at]![at]!));
  return {
    members: [candidate, ...rivals].map(({ factor, level: name }) => ({ factor, level: name })),
    oddsRatio: {
      kind: 'estimate',
      value: Math.exp(logOdds),
      low: Math.exp(logOdds - half),
      high: Math.exp(logOdds + half),
      level,
      n: candidate.jars,
    },
    rate: rateEstimate(candidate.contaminated, candidate.jars, 'wilson', level) as Estimate,
    excessJars: excessJars(table, candidate, model, logOdds),
    lots: candidate.lots,
    jars: candidate.jars,
    pValue,
    falseDiscovery,
  };
}

/** Jars lost beyond what the same lots would have lost at odds divided by the finding's ratio. */
function excessJars(table: LotTable, { rows }: Candidate, { expected }: RateModel, logOdds: number): number {
  return rows.reduce((sum, row) => {
    if (row >= table.lots) return sum;
    const n = table.jars[row]!;
    const p = expected[row]! / n;
    const without = 1 / (1 + ((1 - p) / p) * Math.exp(logOdds));
    return sum + n * (p - without);
  }, 0);
}
