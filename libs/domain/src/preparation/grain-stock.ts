import { addDays, type CalendarDay } from '../calendar/calendar-day.js';

/** What somebody said of the farm's grain at a moment: how much there was, or how much more was bought. */
export interface GrainStockEntry {
  readonly kind: 'counted' | 'bought';
  /** As bought, with the grain's own water. */
  readonly massG: number;
  readonly atMs: number;
}

/** Grain of one batch at the prep bench, taken when its first step was logged. */
export interface GrainTaken {
  /** Null: nobody said how much it was. */
  readonly massG: number | null;
  readonly atMs: number;
}

/** How a stock follows from its last count. */
export interface GrainAccount {
  readonly countedAtMs: number;
  readonly countedG: number;
  readonly boughtG: number;
  readonly soakedG: number;
  /** Batches since the count of which nobody said how much grain they took. */
  readonly unweighed: number;
}

export type GrainOnHand =
  /** Never counted: what was bought since the beginning says nothing of what there is. */
  | { readonly state: 'not-counted' }
  | { readonly state: 'known'; readonly onHandG: number; readonly account: GrainAccount }
  /** More was soaked than there can have been: the count, or a purchase nobody entered, is wrong. */
  | { readonly state: 'out-of-date'; readonly account: GrainAccount };

/** Less than any kitchen scale shows. */
const NOTHING_G = 0.5;

/**
 * What there is of a grain: the newest count, more what was bought and less what was soaked since. Nothing is stored of
 * the result, so that an entry of the log that comes late, or is corrected, is counted all the same. Masses in grams as
 * bought. Common practice of stock-keeping, no source.
 */
export function grainOnHand(entries: readonly GrainStockEntry[], taken: readonly GrainTaken[]): GrainOnHand {
  const counts = entries.filter(({ kind }) => kind === 'counted');
  if (counts.length === 0) return { state: 'not-counted' };
  const newest = counts.reduce((last, count) => (count.atMs >= last.atMs ? count : last));
  const since = <Thing extends { readonly atMs: number }>(things: readonly Thing[]) =>
    things.filter(({ atMs }) => atMs > newest.atMs);
  const batches = since(taken);
  const account = {
    countedAtMs: newest.atMs,
    countedG: newest.massG,
    boughtG: total(since(entries.filter(({ kind }) => kind === 'bought'))),
    soakedG: total(batches),
    unweighed: batches.filter(({ massG }) => massG === null).length,
  };
  const onHandG = account.countedG + account.boughtG - account.soakedG;
  if (onHandG < -NOTHING_G) return { state: 'out-of-date', account };
  return { state: 'known', onHandG: Math.max(0, onHandG), account };
}

const total = (things: readonly { readonly massG: number | null }[]): number =>
  things.reduce((sum, { massG }) => sum + (massG ?? 0), 0);

/** Grain that one preparation day needs. */
export interface GrainNeed {
  readonly day: CalendarDay;
  readonly massG: number;
}

export interface GrainOutlook {
  /** Needed from today until the end of the ISO week, and of the four weeks that begin with it. */
  readonly thisWeekG: number;
  readonly fourWeeksG: number;
  /** The first preparation day the stock does not reach for within the plan; null: it reaches for all, or is not known. */
  readonly runsOutOn: CalendarDay | null;
  /** The day before it, and never before today; null with it. */
  readonly buyBy: CalendarDay | null;
  /** To buy so that the four weeks are covered; null while nobody knows what there is. */
  readonly missingG: number | null;
}

/**
 * How far a stock reaches. Grain can be bought within days (common practice, no source), so it never limits a plan: the
 * plan is made, and this says what has to be bought for it.
 * @param onHandG null while nobody knows
 * @param needs of the plan, in any order; those before today are past
 * @param underWayG grain that is soaked already for a preparation the plan still asks for: it is needed no more
 */
export function grainOutlook(
  onHandG: number | null,
  needs: readonly GrainNeed[],
  {
    today,
    sunday,
    underWayG,
  }: { readonly today: CalendarDay; readonly sunday: CalendarDay; readonly underWayG: number },
): GrainOutlook {
  const ahead = stillNeeded(
    needs.filter(({ day }) => day >= today).sort((one, other) => (one.day < other.day ? -1 : 1)),
    underWayG,
  );
  const until = (last: CalendarDay) => total(ahead.filter(({ day }) => day <= last));
  const fourWeeksG = until(addDays(sunday, 21));
  const runsOutOn = onHandG === null ? null : firstMissed(onHandG, ahead);
  return {
    thisWeekG: until(sunday),
    fourWeeksG,
    runsOutOn,
    buyBy: runsOutOn === null ? null : latest(today, addDays(runsOutOn, -1)),
    missingG: onHandG === null ? null : Math.max(0, fourWeeksG - onHandG),
  };
}

function stillNeeded(needs: readonly GrainNeed[], underWayG: number): GrainNeed[] {
  let done = underWayG;
  return needs.map(({ day, massG }) => {
    const less = Math.min(done, massG);
    done -= less;
    return { day, massG: massG - less };
  });
}

function firstMissed(onHandG: number, needs: readonly GrainNeed[]): CalendarDay | null {
  let left = onHandG;
  for (const { day, massG } of needs) {
    left -= massG;
    if (left < -NOTHING_G) return day;
  }
  return null;
}

const latest = (one: CalendarDay, other: CalendarDay): CalendarDay => (one > other ? one : other);
