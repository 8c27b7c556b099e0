import type { OpenedUnit, PeggedDiscard, PeggedLeft, PeggedMove, PeggedStart } from './pegged-plan.js';
import type { BatchVariable, Opening, PoolVariables, SpawnModel } from './spawn-model.js';

/** What became of the containers of all pools: opened into which bucket, chilled, thrown away, left. */
export interface PeggedPools {
  /** By bucket. */
  readonly opened: readonly OpenedUnit[][];
  readonly chillings: readonly PeggedMove[];
  readonly warmings: readonly PeggedMove[];
  readonly discards: readonly PeggedDiscard[];
  readonly left: readonly PeggedLeft[];
}

/** A container that can be told apart only by its source and its window. */
interface Unit {
  readonly from: string;
  readonly ripe: number;
  readonly until: number;
}

/**
 * Names the containers behind a solution, first expired first out: of the containers a pool opens warm, the one that
 * ages out first is opened first; the same holds in the cold store. The sorted match always exists when any match does,
 * because all containers of a pool share one life.
 */
export function pegPools(
  model: SpawnModel,
  values: Float64Array,
  starts: ReadonlyMap<number, PeggedStart>,
): PeggedPools {
  const pegged = {
    opened: model.buckets.map((): OpenedUnit[] => []),
    chillings: [] as PeggedMove[],
    warmings: [] as PeggedMove[],
    discards: [] as PeggedDiscard[],
    left: [] as PeggedLeft[],
  };
  for (const pool of model.pools) new PoolPegging(model, values, pool, starts, pegged).peg();
  return {
    ...pegged,
    chillings: mergeMoves(pegged.chillings),
    warmings: mergeMoves(pegged.warmings),
    discards: mergeDiscards(pegged.discards),
  };
}

class PoolPegging {
  private readonly model: SpawnModel;
  private readonly values: Float64Array;
  private readonly pool: PoolVariables;
  private readonly out: { readonly [Part in keyof PeggedPools]: PeggedPools[Part][number][] };
  /** Unopened warm containers, the first to expire first. */
  private readonly warm: Unit[];

  constructor(
    model: SpawnModel,
    values: Float64Array,
    pool: PoolVariables,
    starts: ReadonlyMap<number, PeggedStart>,
    out: PoolPegging['out'],
  ) {
    this.model = model;
    this.values = values;
    this.pool = pool;
    this.out = out;
    this.warm = warmUnits(model, pool, starts);
  }

  peg(): void {
    for (const batch of this.pool.batches) this.setAsideOutliving(batch);
    const chilled = this.pool.chillings.flatMap(({ column, day }) => repeat(this.count(column), { day, bucket: null }));
    const takes = [...this.openings(false), ...chilled].sort((one, other) => one.day - other.day);
    const cold: Unit[] = this.pool.cold.map(({ container, from, until }) => ({
      from: container.code,
      ripe: from,
      until,
    }));
    takes.forEach((take, place) => {
      const unit = this.warm[place]!;
      if (take.bucket === null) cold.push(this.chill(unit, take.day));
      else this.open(unit, take, false);
    });
    this.pegCold(cold);
  }

  /** Takes out of the queue what is neither opened nor chilled: planned starts before stock on hand. */
  private setAsideOutliving({ from, until, outlive, discardDay }: BatchVariable): void {
    for (let left = this.count(outlive); left > 0; left -= 1) {
      const place = this.warm.findLastIndex((unit) => unit.ripe === from && unit.until === until);
      const [unit] = this.warm.splice(place, 1);
      if (discardDay === null) this.leave(unit!);
      else this.discard(unit!, discardDay);
    }
  }

  private openings(cold: boolean): Opening[] {
    return this.pool.openings
      .filter((opening) => opening.cold === cold)
      .flatMap((opening) => repeat(this.count(opening.column), opening))
      .sort((one, other) => one.day - other.day || one.bucket - other.bucket);
  }

  private pegCold(units: Unit[]): void {
    const queue = [...units].sort(byExpiry);
    const discarded = this.pool.discardings.filter((each) => each.cold);
    const events = [
      ...discarded.flatMap((each) => repeat(this.count(each.column), { day: each.day, opening: null })),
      ...this.openings(true).map((opening) => ({ day: opening.day, opening })),
    ].sort((one, other) => one.day - other.day || (one.opening === null ? -1 : 1) - (other.opening === null ? -1 : 1));
    for (const { day, opening } of events) {
      const unit = queue.shift();
      if (!unit) continue;
      if (opening === null) this.discard(unit, day);
      else this.open(unit, opening, true);
    }
    for (const unit of queue) this.leave(unit);
  }

  private open(unit: Unit, opening: { readonly day: number; readonly bucket: number }, cold: boolean): void {
    const { day, bucket } = opening;
    this.out.opened[bucket]!.push({ from: unit.from, cold, day, opens: 1, grams: this.pool.gramsEach });
    if (!cold) return;
    const { warmUpDays } = this.model.situation.rhythm;
    this.out.warmings.push({ day: day - warmUpDays, from: unit.from, containers: 1 });
  }

  private chill(unit: Unit, day: number): Unit {
    this.out.chillings.push({ day, from: unit.from, containers: 1 });
    const { coldLifeDays } = this.model.situation.strains[this.pool.strain]!;
    return { from: unit.from, ripe: day, until: day + coldLifeDays };
  }

  private discard(unit: Unit, day: number): void {
    this.out.discards.push({ day, from: unit.from, containers: 1, grams: this.pool.gramsEach });
  }

  private leave(unit: Unit): void {
    const { strain, generation, gramsEach } = this.pool;
    this.out.left.push({ from: unit.from, strain, generation, containers: 1, grams: gramsEach });
  }

  private count(column: number): number {
    return Math.round(this.values[column]!);
  }
}

function warmUnits(model: SpawnModel, pool: PoolVariables, starts: ReadonlyMap<number, PeggedStart>): Unit[] {
  const life = model.situation.strains[pool.strain]!.warmLifeDays;
  const stock = pool.warm.map(({ container, from, until }) => ({ from: container.code, ripe: from, until }));
  const started = pool.starts.flatMap((place) => {
    const start = starts.get(place);
    return start ? repeat(start.containers, { from: start.id, ripe: start.ripeDay, until: start.ripeDay + life }) : [];
  });
  return [...stock, ...started].sort(byExpiry);
}

function byExpiry(one: Unit, other: Unit): number {
  return (
    one.until - other.until || one.ripe - other.ripe || (one.from < other.from ? -1 : one.from > other.from ? 1 : 0)
  );
}

function repeat<Thing>(count: number, thing: Thing): Thing[] {
  return Array.from({ length: count }, () => thing);
}

/** Alike moves of one day as one. */
export function mergeMoves(moves: readonly PeggedMove[]): PeggedMove[] {
  const merged = new Map<string, PeggedMove>();
  for (const move of moves) {
    const key = `${move.day}|${move.from}`;
    merged.set(key, { ...move, containers: (merged.get(key)?.containers ?? 0) + move.containers });
  }
  return [...merged.values()];
}

/** Alike discards of one day as one. */
export function mergeDiscards(discards: readonly PeggedDiscard[]): PeggedDiscard[] {
  const merged = new Map<string, PeggedDiscard>();
  for (const discard of discards) {
    const key = `${discard.day}|${discard.from}`;
    const before = merged.get(key) ?? { containers: 0, grams: 0 };
    merged.set(key, {
      ...discard,
      containers: before.containers + discard.containers,
      grams: before.grams + discard.grams,
    });
  }
  return [...merged.values()];
}
