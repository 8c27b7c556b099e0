import type { ModelDraft } from './model-draft.js';
import type { Pool } from './pools.js';
import { type ColdArrival, type ColdDay, type Discarding, NONE, type Opening, type Stay } from './spawn-model.js';

/** Containers that come into the cold: put there on a day by a column, or one on hand (no column). */
export interface Chilled {
  readonly from: number;
  readonly until: number;
  readonly column: number;
}

export interface ColdQueue {
  readonly openings: readonly Opening[];
  readonly discardings: readonly Discarding[];
  readonly stays: readonly Stay[];
  readonly days: readonly ColdDay[];
  readonly arrivals: readonly ColdArrival[];
}

/**
 * The cold store of one pool, followed over the days on which something can use it:
 *   left = left before + arrived − thrown away − opened.
 * All share one cold life and first expired first out is then best, so age needs no variable of its own: what is there is
 * at most what arrived within the last life. A container counts as arrived when it has been cold long enough to be taken
 * out again and warmed up.
 */
export function addColdQueue(
  draft: ModelDraft,
  pool: Pool,
  arrivals: readonly Chilled[],
  useDays: readonly number[],
  waysToOpen: (day: number) => readonly number[],
): ColdQueue {
  if (arrivals.length === 0) return { openings: [], discardings: [], stays: [], days: [], arrivals: [] };
  return new ColdRows(draft, pool, arrivals, useDays, waysToOpen).add();
}

class ColdRows {
  private readonly draft: ModelDraft;
  private readonly pool: Pool;
  private readonly arrivals: readonly ColdArrival[];
  private readonly coldDays: ColdDay[] = [];
  private readonly days: readonly number[];
  private readonly useDays: readonly number[];
  private readonly waysToOpen: (day: number) => readonly number[];
  private readonly openings: Opening[] = [];
  private readonly discardings: Discarding[] = [];
  private readonly stays: Stay[] = [];

  constructor(
    draft: ModelDraft,
    pool: Pool,
    arrivals: readonly Chilled[],
    useDays: readonly number[],
    waysToOpen: (day: number) => readonly number[],
  ) {
    const { horizon, rhythm } = draft.situation;
    this.draft = draft;
    this.pool = pool;
    this.useDays = useDays;
    this.waysToOpen = waysToOpen;
    // What is in the cold on the planning day takes its places from that day until the day after its life.
    const onHand = arrivals.filter((arrival) => arrival.column === NONE);
    const ends = onHand.flatMap(({ until }) => [0, until + 1]);
    const days = [...new Set([...ends, ...useDays, horizon])].filter((day) => day <= horizon).sort(ascending);
    const usableFrom = (arrival: Chilled) => (arrival.column === NONE ? 0 : arrival.from + rhythm.warmUpDays + 1);
    this.arrivals = arrivals.map((arrival) => ({
      ...arrival,
      event: days.find((day) => day >= usableFrom(arrival)) ?? horizon,
    }));
    const begin = Math.min(...this.arrivals.map((arrival) => arrival.event));
    this.days = days.filter((day) => day >= begin);
  }

  add(): ColdQueue {
    this.arrivals.forEach((arrival) => {
      if (arrival.column !== NONE) this.addTransit(arrival);
    });
    let before = NONE;
    this.days.forEach((day, place) => {
      before = this.addDay(day, this.days[place + 1] ?? day + 1, before);
    });
    const { openings, discardings, stays, coldDays, arrivals } = this;
    return { openings, discardings, stays, days: coldDays, arrivals };
  }

  /** From the day it is put into the cold until it counts in the queue. */
  private addTransit({ column, from, event }: ColdArrival): void {
    this.draft.builder.charge(column, this.waiting(event - from));
    if (event > from) this.stays.push({ column, from, to: event });
  }

  private addDay(day: number, nextDay: number, before: number): number {
    const { builder, situation } = this.draft;
    const last = day === situation.horizon;
    const left = builder.column({ cost: last ? 0 : this.waiting(nextDay - day) });
    const opened = this.openOn(day);
    const waste = this.discardOn(day);
    const arrived = this.arrivals.filter((arrival) => arrival.event === day);
    const onHand = arrived.filter((arrival) => arrival.column === NONE).length;
    const balance = builder.row(onHand, onHand, [[left, 1]]);
    if (before !== NONE) builder.term(balance, before, -1);
    if (waste !== NONE) builder.term(balance, waste, 1);
    for (const column of opened) builder.term(balance, column, 1);
    for (const { column } of arrived) if (column !== NONE) builder.term(balance, column, -1);
    if (waste !== NONE) this.addExpiryRow(day, [left, ...opened]);
    this.stays.push({ column: left, from: day, to: nextDay });
    this.coldDays.push({ day, left, waste });
    return left;
  }

  private openOn(day: number): number[] {
    const takesGrams = this.arrivals.some((arrival) => arrival.event <= day && day <= arrival.until);
    // What stands in the cold today cannot have been warmed up before the planning day.
    if (!takesGrams || day < this.draft.situation.rhythm.warmUpDays) return [];
    const ways = this.useDays.includes(day) ? this.waysToOpen(day) : [];
    return ways.map((bucket) => {
      const column = this.draft.builder.column({ whole: true });
      this.draft.builder.term(this.draft.buckets[bucket]!.row, column, -this.pool.gramsEach);
      this.openings.push({ column, day, cold: true, bucket, batch: NONE });
      return column;
    });
  }

  private discardOn(day: number): number {
    const expired = this.arrivals.some((arrival) => arrival.event <= day && arrival.until < day);
    if (!expired) return NONE;
    const column = this.draft.builder.column({ cost: this.draft.situation.costs.perGramAgedOut * this.pool.gramsEach });
    this.discardings.push({ column, day, cold: true });
    return column;
  }

  private addExpiryRow(day: number, present: readonly number[]): void {
    const fresh = this.arrivals.filter((arrival) => arrival.event <= day && day <= arrival.until);
    const onHand = fresh.filter((arrival) => arrival.column === NONE).length;
    const row = this.draft.builder.row(
      Number.NEGATIVE_INFINITY,
      onHand,
      present.map((column) => [column, 1]),
    );
    for (const { column } of fresh) if (column !== NONE) this.draft.builder.term(row, column, -1);
  }

  private waiting(days: number): number {
    return this.draft.situation.costs.perGramDayOld * this.pool.gramsEach * Math.max(0, days);
  }
}

function ascending(one: number, other: number): number {
  return one - other;
}
