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
  readonly chilling: ChillingView | null;
  /** Cost of opening it this way: waiting and chilling. */
  readonly cost: number;
  readonly motherOnly: boolean;
}

/** A wish for grams: a run up to its minimum or up to its target. */
export interface RunWish {
  readonly run: number;
  readonly choice: number;
  readonly day: number;
  readonly upTo: number;
  readonly costPerGramMissing: number;
  /** The first to expire first. */
  readonly candidates: readonly Candidate[];
  readonly pours: readonly { readonly bucket: number; readonly costPerGram: number }[];
  /** Cost per gram of pouring from each bucket of the view. */
  readonly pourCost: Float64Array;
}

/** The wishes of a strain's runs, the dearest shortage first, then the earliest day. */
export function runWishes(model: SpawnModel, view: StrainView): RunWish[] {
  const { perGramShort, perGramBelowTarget } = model.situation.costs;
  const wishes = view.runs.flatMap((runView) => {
    const { run } = model.runs[runView.run]!;
    const pours = runView.pours.map(({ bucket, column }) => ({ bucket, costPerGram: model.programme.cost[column]! }));
    const pourCost = new Float64Array(view.buckets.length);
    for (const { bucket, costPerGram } of pours) pourCost[bucket] = costPerGram;
    const candidates = pours
      .flatMap(({ bucket }) => candidatesFor(model, view, bucket, runView.day))
      .sort((one, other) => one.expires - other.expires || one.cost - other.cost || one.column - other.column);
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

/** The ways to open a mother for each inoculation of the view; set-aside mothers first, then the first to expire. */
export function motherCandidates(model: SpawnModel, view: StrainView): Candidate[][] {
  return view.inoculations.map(({ pours, day }) =>
    pours
      .flatMap(({ bucket }) => candidatesFor(model, view, bucket, day))
      .sort(
        (one, other) =>
          Number(other.motherOnly) - Number(one.motherOnly) ||
          one.expires - other.expires ||
          one.cost - other.cost ||
          one.column - other.column,
      ),
  );
}

/** Ways to open something into a bucket on its first day. Of two ways for one container, the one used up at once. */
function candidatesFor(model: SpawnModel, view: StrainView, bucket: number, day: number): Candidate[] {
  const bucketView = view.buckets[bucket]!;
  if (bucketView.day !== day) return [];
  const warm = bucketView.warm.map(({ column, batch }) =>
    warmCandidate(model, view.batches[batch]!, bucket, bucketView, column, batch),
  );
  const cold = bucketView.cold.flatMap(({ column, pool }) =>
    coldCandidates(model, view, bucket, bucketView, column, pool),
  );
  return [...warm, ...cold];
}

function warmCandidate(
  { programme }: SpawnModel,
  batch: BatchView,
  bucket: number,
  { motherOnly }: BucketView,
  column: number,
  place: number,
): Candidate {
  const cost = programme.cost[column]!;
  const gramsEach = batch.pool.gramsEach;
  return {
    bucket,
    column,
    gramsEach,
    expires: batch.until,
    batch: place,
    coldStock: NONE,
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
): Candidate[] {
  const { gramsEach } = pool;
  const waiting = (from: number) => situation.costs.perGramDayOld * gramsEach * (day - from);
  const onHand = view.coldStock.flatMap((unit, coldStock): Candidate[] =>
    unit.pool === pool && unit.event <= day && day <= unit.until
      ? [
          {
            bucket,
            column,
            gramsEach,
            expires: unit.until,
            batch: NONE,
            coldStock,
            chilling: null,
            cost: waiting(unit.event),
            motherOnly,
          },
        ]
      : [],
  );
  // Inside its warm life a container is opened warm: that saves the chilling.
  const chilled = view.batches.flatMap((batch, place): Candidate[] => {
    if (batch.pool !== pool || batch.until >= day) return [];
    const chilling = batch.chillings.find((each) => each.event <= day && day <= each.until);
    if (!chilling) return [];
    const cost = programme.cost[chilling.column]! + waiting(chilling.event);
    return [
      { bucket, column, gramsEach, expires: chilling.until, batch: place, coldStock: NONE, chilling, cost, motherOnly },
    ];
  });
  return [...onHand, ...chilled];
}
