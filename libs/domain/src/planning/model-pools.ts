import type { AcceptedStrain } from './accepted-situation.js';
import type { BucketShelf } from './model-buckets.js';
import { addColdQueue, type Chilled } from './model-cold-queue.js';
import type { ModelDraft } from './model-draft.js';
import type { Pool } from './pools.js';
import {
  type BatchVariable,
  type Chilling,
  type Discarding,
  NONE,
  type Opening,
  type PoolVariables,
  type SpawnModel,
  type Stay,
} from './spawn-model.js';

/**
 * On the first handling days after it is ripe a container is put into the cold, or not at all: the plan knows then what
 * each one is for, and spawn keeps best when it is chilled fresh. The second day is offered in case the cold is full.
 */
const CHILLING_DAYS_OFFERED = 2;

/** Far below any cost of a farm; it only breaks ties. */
const FIRST_EXPIRED_FIRST_PER_GRAM_DAY = 1e-8;

/**
 * Supply and paths. Containers of a pool that are ripe on one day are a batch. Each container of a batch takes one path:
 * opened warm on a day of its warm life, put into the cold, thrown away when it is too old, or left at the horizon's end.
 */
export function addPools(draft: ModelDraft, shelf: BucketShelf): PoolVariables[] {
  return draft.pools.map((pool) => new PoolPaths(draft, shelf, pool).add());
}

/** What a solution's cost holds of hairs that only break ties. */
export function tieBreakingCost({ pools, situation }: SpawnModel, values: Float64Array): number {
  let sum = 0;
  for (const { batches, gramsEach } of pools) {
    for (const { outlive, until } of batches) sum += values[outlive]! * tieBreaker(gramsEach, until, situation.horizon);
  }
  return sum;
}

function tieBreaker(gramsEach: number, until: number, horizon: number): number {
  return FIRST_EXPIRED_FIRST_PER_GRAM_DAY * gramsEach * Math.max(0, horizon - until);
}

interface Batch {
  readonly from: number;
  readonly until: number;
  readonly columns: number[];
  count: number;
}

class PoolPaths {
  private readonly draft: ModelDraft;
  private readonly pool: Pool;
  private readonly strain: AcceptedStrain;
  private readonly useDays: readonly number[];
  private readonly shelf: BucketShelf;
  private readonly batches: BatchVariable[] = [];
  private readonly openings: Opening[] = [];
  private readonly chillings: Chilling[] = [];
  private readonly discardings: Discarding[] = [];
  private readonly warmStays: Stay[] = [];
  private readonly coldStays: Stay[] = [];
  private readonly coldArrivals: Chilled[] = [];

  constructor(draft: ModelDraft, shelf: BucketShelf, pool: Pool) {
    this.draft = draft;
    this.pool = pool;
    this.shelf = shelf;
    this.strain = draft.situation.strains[pool.strain]!;
    this.useDays = shelf.useDays(pool.strain, pool.generation, pool.motherOnly);
  }

  add(): PoolVariables {
    for (const batch of this.collectBatches()) this.addBatch(batch);
    for (const { from, until } of this.pool.cold) this.coldArrivals.push({ from, until, column: NONE });
    const cold = addColdQueue(this.draft, this.pool, this.coldArrivals, this.useDays, (day) => this.waysToOpen(day));
    return {
      ...this.pool,
      batches: this.batches,
      openings: [...this.openings, ...cold.openings],
      chillings: this.chillings,
      discardings: [...this.discardings, ...cold.discardings],
      warmStays: this.warmStays,
      coldStays: [...this.coldStays, ...cold.stays],
      coldDays: cold.days,
      coldArrivals: cold.arrivals,
    };
  }

  private collectBatches(): Batch[] {
    const batches = new Map<string, Batch>();
    const batchOf = (from: number, until: number) => {
      const key = `${from}|${until}`;
      const batch = batches.get(key) ?? { from, until, columns: [], count: 0 };
      batches.set(key, batch);
      return batch;
    };
    for (const { from, until } of this.pool.warm) batchOf(from, until).count += 1;
    for (const place of this.pool.starts) {
      const { ripeDay, column } = this.draft.starts[place]!;
      batchOf(ripeDay, ripeDay + this.strain.warmLifeDays).columns.push(column);
    }
    return [...batches.values()].sort((one, other) => one.from - other.from || one.until - other.until);
  }

  /** Each container of the batch takes exactly one path. */
  private addBatch(batch: Batch): void {
    const { builder } = this.draft;
    const row = builder.row(
      batch.count,
      batch.count,
      batch.columns.map((column) => [column, -1]),
    );
    for (const column of [...this.openWarm(batch), ...this.chill(batch), this.outlive(batch)])
      builder.term(row, column, 1);
  }

  private openWarm(batch: Batch): number[] {
    const days = this.useDays.filter((day) => batch.from <= day && day <= batch.until);
    return days.flatMap((day) =>
      this.waysToOpen(day).map((bucket) => {
        const column = this.draft.builder.column({ cost: this.waiting(day - batch.from), whole: true });
        this.draft.builder.term(this.draft.buckets[bucket]!.row, column, -this.pool.gramsEach);
        this.openings.push({ column, day, cold: false, bucket, batch: this.batches.length });
        this.warmStays.push({ column, from: batch.from, to: day });
        return column;
      }),
    );
  }

  private chill(batch: Batch): number[] {
    const { situation, handlingDays, builder } = this.draft;
    const { mayBeChilled, coldLifeDays } = this.strain;
    if (!mayBeChilled || coldLifeDays === 0 || situation.coldPlaces === 0) return [];
    const days = handlingDays
      .filter((day) => batch.from <= day && day <= batch.until && day < situation.horizon)
      .slice(0, CHILLING_DAYS_OFFERED);
    return days.map((day) => {
      const column = builder.column({
        cost: situation.costs.perContainerChilled + this.waiting(day - batch.from),
        whole: true,
      });
      this.chillings.push({ column, day, batch: this.batches.length });
      this.warmStays.push({ column, from: batch.from, to: day });
      this.coldArrivals.push({ from: day, until: day + coldLifeDays, column });
      return column;
    });
  }

  /** Thrown away the day after its warm life, or still good at the end of the horizon. */
  private outlive({ from, until, count, columns }: Batch): number {
    const { situation, builder } = this.draft;
    const discardDay = until + 1;
    const kept = discardDay > situation.horizon;
    const to = kept ? situation.horizon : discardDay;
    const aged = kept ? 0 : situation.costs.perGramAgedOut * this.pool.gramsEach;
    const column = builder.column({ cost: aged + this.keepsLonger(until) });
    this.warmStays.push({ column, from, to: kept ? to + 1 : to });
    const discardOn = kept ? null : discardDay;
    this.batches.push({ from, until, onHand: count, startColumns: columns, outlive: column, discardDay: discardOn });
    if (!kept) this.discardings.push({ column, day: discardDay, cold: false });
    return column;
  }

  /** Of two containers that are equal otherwise, the one that ages out first is to be used: a hair of cost says so. */
  private keepsLonger(until: number): number {
    return tieBreaker(this.pool.gramsEach, until, this.draft.situation.horizon);
  }

  private waiting(days: number): number {
    return this.draft.situation.costs.perGramDayOld * this.pool.gramsEach * Math.max(0, days);
  }

  /**
   * The buckets a container may be opened into on a day. Where clean containers are counted it matters when one is empty
   * again, so "used up at once" and "kept open" are two ways.
   */
  private waysToOpen(day: number): number[] {
    const { strain, generation, motherOnly } = this.pool;
    const later = this.shelf.hasLaterUse(strain, generation, motherOnly, day);
    const counted = this.draft.situation.sizes[this.pool.size]!.cleanEmpty !== null;
    const kept = later ? (counted ? [false, true] : [true]) : [false];
    return kept.map((keep) => this.shelf.bucketFor(strain, generation, motherOnly, day, keep));
  }
}
