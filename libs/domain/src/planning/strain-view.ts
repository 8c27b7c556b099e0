import type { AcceptedStrain } from './accepted-situation.js';
import { isMotherPool } from './model-reserve.js';
import { NONE, type PoolVariables, type SpawnModel } from './spawn-model.js';

/** One strain's part of the model, arranged for handing out whole containers quickly. */
export interface StrainView {
  readonly strain: AcceptedStrain;
  /** Places in the model's list of starts. */
  readonly starts: readonly number[];
  readonly batches: readonly BatchView[];
  readonly coldStock: readonly ColdStockView[];
  readonly buckets: readonly BucketView[];
  /** In order of day. */
  readonly inoculations: readonly InoculationView[];
  readonly runs: readonly RunView[];
  readonly reserves: readonly { readonly day: number; readonly required: number; readonly missing: number }[];
  readonly pools: readonly PoolVariables[];
  readonly culture: CultureView;
}

export interface BatchView {
  readonly pool: PoolVariables;
  readonly from: number;
  readonly until: number;
  readonly onHand: number;
  /** Place in the view's list of starts, or NONE for stock only. */
  readonly start: number;
  readonly outlive: number;
  readonly discardDay: number | null;
  readonly isMother: boolean;
  readonly chillings: readonly ChillingView[];
}

export interface ChillingView {
  readonly column: number;
  readonly day: number;
  readonly event: number;
  readonly until: number;
  /** The day on which it is thrown away if nothing opens it; after the horizon when it is still good. */
  readonly end: number;
}

export interface ColdStockView {
  readonly pool: PoolVariables;
  readonly event: number;
  readonly until: number;
  readonly end: number;
  readonly isMother: boolean;
}

export interface BucketView {
  readonly row: number;
  readonly waste: number;
  readonly day: number;
  readonly until: number;
  readonly generation: number;
  readonly motherOnly: boolean;
  /** Grams that stand open on the planning day. */
  readonly grams: number;
  readonly warm: readonly { readonly column: number; readonly batch: number }[];
  readonly cold: readonly { readonly column: number; readonly pool: PoolVariables }[];
}

/** A place grams can be poured to: which bucket, by which column. */
export interface PourView {
  readonly bucket: number;
  readonly column: number;
}

export interface InoculationView {
  readonly day: number;
  readonly generation: number;
  readonly starts: readonly { readonly start: number; readonly gramsEach: number }[];
  readonly pours: readonly PourView[];
}

export interface RunView {
  readonly run: number;
  readonly choice: number;
  readonly day: number;
  readonly pours: readonly PourView[];
}

/** Generation 0: what is on hand and the orders that may be placed, by bench slot. */
export interface CultureView {
  readonly onHand: readonly { readonly from: number; readonly until: number; readonly grams: number }[];
  readonly orders: readonly { readonly column: number; readonly day: number; readonly gramsPerUnit: number }[];
  readonly demands: readonly { readonly day: number; readonly starts: InoculationView['starts'] }[];
}

/** Arranges the model by strain. */
export function strainViews(model: SpawnModel): StrainView[] {
  return model.situation.strains.map((strain) => strainView(model, strain));
}

function strainView(model: SpawnModel, strain: AcceptedStrain): StrainView {
  const starts = model.starts.flatMap((start, place) => (start.strain === strain.index ? [place] : []));
  const localStart = new Map(starts.map((place, local) => [model.starts[place]!.column, local]));
  const { horizon } = model.situation;
  const pools = model.pools.filter((pool) => pool.strain === strain.index);
  const batches = pools.flatMap((pool) => batchViews(pool, strain, localStart, horizon));
  const { buckets, place } = bucketViews(model, strain, pools, batches);
  return {
    strain,
    starts,
    pools,
    batches,
    coldStock: pools.flatMap((pool) => coldStockViews(pool, strain, horizon)),
    buckets,
    inoculations: inoculationViews(model, strain, starts, place),
    runs: runViews(model, strain, place),
    reserves: model.reserves.filter((reserve) => reserve.strain === strain.index),
    culture: cultureView(model, strain, starts),
  };
}

function batchViews(
  pool: PoolVariables,
  strain: AcceptedStrain,
  localStart: ReadonlyMap<number, number>,
  horizon: number,
): BatchView[] {
  return pool.batches.map((batch, place) => ({
    pool,
    from: batch.from,
    until: batch.until,
    onHand: batch.onHand,
    start: localStart.get(batch.startColumns[0] ?? NONE) ?? NONE,
    outlive: batch.outlive,
    discardDay: batch.discardDay,
    isMother: isMotherPool(pool, strain),
    chillings: pool.chillings
      .filter((chilling) => chilling.batch === place)
      .map(({ column, day }) => {
        const arrival = pool.coldArrivals.find((each) => each.column === column)!;
        return { column, day, event: arrival.event, until: arrival.until, end: coldEnd(pool, arrival.until, horizon) };
      }),
  }));
}

/** The first day of the cold queue on which something is too old; after the horizon when there is none. */
function coldEnd(pool: PoolVariables, until: number, horizon: number): number {
  return pool.coldDays.find((each) => each.day > until)?.day ?? horizon + 1;
}

function coldStockViews(pool: PoolVariables, strain: AcceptedStrain, horizon: number): ColdStockView[] {
  return pool.coldArrivals
    .filter((arrival) => arrival.column === NONE)
    .map(({ event, until }) => ({
      pool,
      event,
      until,
      end: coldEnd(pool, until, horizon),
      isMother: isMotherPool(pool, strain),
    }));
}

function bucketViews(
  model: SpawnModel,
  strain: AcceptedStrain,
  pools: readonly PoolVariables[],
  batches: readonly BatchView[],
): { readonly buckets: BucketView[]; readonly place: ReadonlyMap<number, number> } {
  const place = new Map<number, number>();
  const drafts = model.buckets
    .filter((bucket) => bucket.strain === strain.index)
    .map((bucket, local) => {
      place.set(bucket.index, local);
      const grams = bucket.openedStock.reduce((sum, container) => sum + container.grams, 0);
      const { row, waste, day, until, generation, motherOnly } = bucket;
      const warm: { column: number; batch: number }[] = [];
      const cold: { column: number; pool: PoolVariables }[] = [];
      return { row, waste, day, until, generation, motherOnly, grams, warm, cold };
    });
  let firstBatch = 0;
  for (const pool of pools) {
    for (const { column, cold, bucket, batch } of pool.openings) {
      const draft = drafts[place.get(bucket)!]!;
      if (cold) draft.cold.push({ column, pool });
      else draft.warm.push({ column, batch: firstBatch + batch });
    }
    firstBatch += batches.filter((batch) => batch.pool === pool).length;
  }
  return { buckets: drafts, place };
}

function inoculationViews(
  model: SpawnModel,
  strain: AcceptedStrain,
  starts: readonly number[],
  place: ReadonlyMap<number, number>,
): InoculationView[] {
  const views = new Map<
    string,
    { day: number; generation: number; starts: InoculationView['starts'][number][]; pours: PourView[] }
  >();
  starts.forEach((global, local) => {
    const start = model.starts[global]!;
    if (start.generation < 2) return;
    const key = `${start.generation}|${start.slot.index}`;
    const view = views.get(key) ?? { day: start.slot.day, generation: start.generation, starts: [], pours: [] };
    view.starts.push({ start: local, gramsEach: start.inoculumGramsEach });
    views.set(key, view);
  });
  for (const use of model.uses) {
    const bucket = model.buckets[use.bucket]!;
    if (use.to.kind !== 'start' || bucket.strain !== strain.index) continue;
    views
      .get(`${bucket.generation + 1}|${use.to.slot}`)
      ?.pours.push({ bucket: place.get(use.bucket)!, column: use.column });
  }
  return [...views.values()].sort((one, other) => one.day - other.day || one.generation - other.generation);
}

function runViews(model: SpawnModel, strain: AcceptedStrain, place: ReadonlyMap<number, number>): RunView[] {
  const pours = new Map<string, PourView[]>();
  for (const use of model.uses) {
    if (use.to.kind !== 'run' || model.buckets[use.bucket]!.strain !== strain.index) continue;
    const key = `${use.to.run}|${use.to.choice}`;
    pours.set(key, [...(pours.get(key) ?? []), { bucket: place.get(use.bucket)!, column: use.column }]);
  }
  return model.runs.flatMap(({ run, choices }) =>
    choices.flatMap((choice, at) =>
      choice.strain === strain.index
        ? [{ run: run.index, choice: at, day: choice.day, pours: pours.get(`${run.index}|${at}`) ?? [] }]
        : [],
    ),
  );
}

function cultureView(model: SpawnModel, strain: AcceptedStrain, starts: readonly number[]): CultureView {
  const demands = new Map<number, { day: number; starts: InoculationView['starts'][number][] }>();
  starts.forEach((global, local) => {
    const start = model.starts[global]!;
    if (start.generation !== 1) return;
    const demand = demands.get(start.slot.day) ?? { day: start.slot.day, starts: [] };
    demand.starts.push({ start: local, gramsEach: start.inoculumGramsEach });
    demands.set(start.slot.day, demand);
  });
  const orders = model.cultures.find((culture) => culture.strain === strain.index)?.orders ?? [];
  return {
    onHand: model.situation.containers.filter((each) => each.strain === strain.index && each.kind === 'culture'),
    orders: orders.map(({ column, slot, gramsPerUnit }) => ({ column, day: slot.day, gramsPerUnit })),
    demands: [...demands.values()].sort((one, other) => one.day - other.day),
  };
}
