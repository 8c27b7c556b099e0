import type { HandlingStyle } from './handling-style.js';
import type { SpawnModel } from './spawn-model.js';
import { NONE } from './spawn-model.js';
import type { BatchView, BucketView, ChillingView, StrainView } from './strain-view.js';

/** One way to open a container for a use on a day: from which batch or cold container, by which path, into which bucket. */
export interface Candidate {
  readonly bucket: number;
  readonly column: number;
  readonly gramsEach: number;
  /** Last day on which it could be used on this path. */
  readonly expires: number;
  /** Place of the batch, or NONE for a container that is in the cold already. */
  readonly batch: number;
  readonly coldStock: number;
  /** The day it is opened. */
  readonly day: number;
  readonly chilling: ChillingView | null;
  /** Cost of opening it this way: waiting and chilling. */
  readonly cost: number;
  readonly motherOnly: boolean;
  /** Opened before the day it is wanted for. */
  readonly early: boolean;
  /** Kept open after the day it is opened. */
  readonly kept: boolean;
}

/** Candidates in the order in which they are taken, with what is looked at most often in flat arrays. */
export interface CandidateList {
  readonly items: readonly Candidate[];
  /** Place in one array of what is left: batches first, then cold containers. */
  readonly source: Int32Array;
  readonly grams: Float64Array;
}

function candidateList(view: StrainView, items: readonly Candidate[]): CandidateList {
  return {
    items,
    source: Int32Array.from(
      items.map(({ batch, coldStock }) => (batch === NONE ? view.batches.length + coldStock : batch)),
    ),
    grams: Float64Array.from(items.map(({ gramsEach }) => gramsEach)),
  };
}

/** A wish for grams: a run up to its minimum or up to its target. */
export interface RunWish {
  readonly run: number;
  readonly choice: number;
  readonly day: number;
  readonly upTo: number;
  readonly costPerGramMissing: number;
  /** The first to expire first. */
  readonly candidates: CandidateList;
  readonly pours: readonly { readonly bucket: number; readonly costPerGram: number }[];
  /** Cost per gram of pouring from each bucket of the view. */
  readonly pourCost: Float64Array;
}

/** The wishes of a strain's runs, the dearest shortage first, then the earliest day. */
export function runWishes(model: SpawnModel, view: StrainView, style: HandlingStyle): RunWish[] {
  const { perGramShort, perGramBelowTarget } = model.situation.costs;
  const wishes = view.runs.flatMap((runView) => {
    const { run } = model.runs[runView.run]!;
    const pours = runView.pours.map(({ bucket, column }) => ({ bucket, costPerGram: model.programme.cost[column]! }));
    const pourCost = new Float64Array(view.buckets.length);
    for (const { bucket, costPerGram } of pours) pourCost[bucket] = costPerGram;
    const items = pours
      .flatMap(({ bucket }) => candidatesFor(model, view, bucket, runView.day, style))
      .sort((one, other) => firstToExpire(one, other, style.keepsOpen));
    const candidates = candidateList(view, items);
    const shared = { run: runView.run, choice: runView.choice, day: runView.day, candidates, pours, pourCost };
    return [
      { ...shared, upTo: run.minGrams, costPerGramMissing: perGramShort * run.weight },
      { ...shared, upTo: run.targetGrams, costPerGramMissing: perGramBelowTarget * run.weight },
    ];
  });
  return wishes.sort(
    (one, other) =>
      other.costPerGramMissing - one.costPerGramMissing ||
      one.day - other.day ||
      one.run - other.run ||
      one.upTo - other.upTo,
  );
}

/**
 * The ways to open a mother for each inoculation of the view; set-aside mothers first, then the first to expire. A mother
 * may be opened some days early, for a run that takes the rest of it.
 */
export function motherCandidates(model: SpawnModel, view: StrainView, style: HandlingStyle): CandidateList[] {
  const { earlyMother, keepsOpen } = style;
  const runDays = new Set(view.runs.map((run) => run.day));
  const ordered = view.inoculations.map(({ pours, day }) =>
    pours
      .flatMap(({ bucket }) =>
        candidatesFor(model, view, bucket, day, style, earlyMother && runDays.has(view.buckets[bucket]!.day)),
      )
      .sort(
        (one, other) =>
          Number(other.motherOnly) - Number(one.motherOnly) ||
          (earlyMother ? Number(other.early) - Number(one.early) : 0) ||
          firstToExpire(one, other, keepsOpen),
      ),
  );
  return ordered.map((items) => candidateList(view, items));
}

function firstToExpire(one: Candidate, other: Candidate, keepsOpen: boolean): number {
  const keeping = keepsOpen ? Number(other.kept) - Number(one.kept) : Number(one.kept) - Number(other.kept);
  return one.expires - other.expires || one.cost - other.cost || keeping || one.column - other.column;
}

/**
 * Ways to open something into a bucket for a use on a day. As a rule it is opened on that day; what is too old by then
 * may be opened on an earlier one, as long as it stays good opened.
 */
function candidatesFor(
  model: SpawnModel,
  view: StrainView,
  bucket: number,
  day: number,
  style: HandlingStyle,
  mayBeEarly = false,
): Candidate[] {
  const bucketView = view.buckets[bucket]!;
  const early = bucketView.day < day;
  const warm = bucketView.warm
    .filter(({ batch }) => !early || mayBeEarly || isTooOldBy(view.batches[batch]!, day))
    .filter(({ batch }) => !goesCold(view.batches[batch]!, bucketView.day, style))
    .map(({ column, batch }) => warmCandidate(model, view.batches[batch]!, bucket, bucketView, column, batch));
  if (early && !mayBeEarly) return warm.map((candidate) => ({ ...candidate, early, kept: true }));
  const cold = bucketView.cold.flatMap(({ column, pool }) =>
    coldCandidates(model, view, bucket, bucketView, column, pool, style),
  );
  return [...warm, ...cold].map((candidate) => ({ ...candidate, early, kept: bucketView.until > bucketView.day }));
}

type OpeningWay = Omit<Candidate, 'early' | 'kept'>;

/**
 * Whether a container of the batch takes the cold path to a day: as a rule only when its warm life is over by then, which
 * saves the chilling; by habit whenever it can, which saves incubation places.
 */
function goesCold({ chillings, until }: BatchView, day: number, { chillsSoon }: HandlingStyle): boolean {
  return (until < day || chillsSoon) && chillings.some((chilling) => chilling.event <= day && day <= chilling.until);
}

function isTooOldBy({ until, chillings }: BatchView, day: number): boolean {
  return until < day && chillings.length === 0;
}

function warmCandidate(
  { programme }: SpawnModel,
  batch: BatchView,
  bucket: number,
  { motherOnly, day }: BucketView,
  column: number,
  place: number,
): OpeningWay {
  const cost = programme.cost[column]!;
  const gramsEach = batch.pool.gramsEach;
  return {
    bucket,
    column,
    gramsEach,
    expires: batch.until,
    batch: place,
    coldStock: NONE,
    day,
    chilling: null,
    cost,
    motherOnly,
  };
}

function coldCandidates(
  { programme, situation }: SpawnModel,
  view: StrainView,
  bucket: number,
  { motherOnly, day }: BucketView,
  column: number,
  pool: BatchView['pool'],
  style: HandlingStyle,
): OpeningWay[] {
  const { gramsEach } = pool;
  const waiting = (from: number) => situation.costs.perGramDayOld * gramsEach * (day - from);
  const onHand = view.coldStock.flatMap((unit, coldStock): OpeningWay[] =>
    unit.pool === pool && unit.event <= day && day <= unit.until
      ? [
          {
            bucket,
            column,
            gramsEach,
            expires: unit.until,
            batch: NONE,
            coldStock,
            day,
            chilling: null,
            cost: waiting(unit.event),
            motherOnly,
          },
        ]
      : [],
  );
  const chilled = view.batches.flatMap((batch, place): OpeningWay[] => {
    if (batch.pool !== pool || !goesCold(batch, day, style)) return [];
    const chilling = batch.chillings.find((each) => each.event <= day && day <= each.until);
    if (!chilling) return [];
    const cost = programme.cost[chilling.column]! + waiting(chilling.event);
    return [
      {
        bucket,
        column,
        gramsEach,
        expires: chilling.until,
        batch: place,
        coldStock: NONE,
        day,
        chilling,
        cost,
        motherOnly,
      },
    ];
  });
  return [...onHand, ...chilled];
}
