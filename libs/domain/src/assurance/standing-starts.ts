import type { CalendarDay } from '../calendar/calendar-day.js';
import type { PlannedStart } from '../planning/plan.js';
import type { StandingStart } from '../planning/situation.js';
import { idOf } from './held-starts.js';

type StartKind = Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId'>;

/** What stands of earlier plans on a morning. */
export interface StandingFacts {
  readonly asOf: CalendarDay;
  /** Starts of the newest plan: a replan keeps to them where it is as good. */
  readonly newest: readonly (StartKind & { readonly containers: number })[];
  /** Starts of the plan last accepted: what preparation was made for. Null: none was. */
  readonly accepted: readonly (StartKind & { readonly containers: number })[] | null;
  readonly pins: readonly (StartKind & { readonly containers: number })[];
  /** Bench days whose grain is in the log already. */
  readonly preparedDays: ReadonlySet<CalendarDay>;
  /** Containers inoculated already, by bench day, strain, generation and size. */
  readonly made: readonly (StartKind & { readonly containers: number })[];
}

/**
 * The starts a replan has to live with: prepared ones happen as accepted, less what has been inoculated; pinned ones keep
 * their count; the rest of the newest plan is kept where nothing speaks against it. A start stands once: prepared before
 * pinned before accepted. Whoever prepares grain by a plan has accepted it, whether they said so or not: else its starts
 * would fall out of the plan on the bench day's own morning, when nothing more can be prepared for it.
 */
export function standingStarts({ asOf, newest, accepted, pins, preparedDays, made }: StandingFacts): StandingStart[] {
  const standing = new Map<string, StandingStart>();
  const stand = (hold: StandingStart['hold'], start: StartKind & { readonly containers: number }) => {
    const { benchDay, strainId, generation, sizeId, containers } = start;
    if (benchDay < asOf || standing.has(idOf(start))) return;
    standing.set(idOf(start), { benchDay, strainId, generation, sizeId, containers, hold });
  };
  const done = new Map<string, number>();
  for (const lot of made) done.set(idOf(lot), (done.get(idOf(lot)) ?? 0) + lot.containers);
  for (const start of [...preparedDays].flatMap((day) => agreedFor(day, accepted ?? [], newest))) {
    stand('prepared', { ...start, containers: Math.max(0, start.containers - (done.get(idOf(start)) ?? 0)) });
  }
  // On a day that is prepared nothing else can be started: the grain is counted.
  for (const pin of pins) if (!preparedDays.has(pin.benchDay)) stand('pinned', pin);
  for (const start of newest) if (!preparedDays.has(start.benchDay)) stand('accepted', start);
  return [...standing.values()];
}

/** What the grain of a bench day was made for: the plan accepted, or the newest where that one has nothing for the day. */
function agreedFor<Start extends StartKind>(day: CalendarDay, accepted: readonly Start[], newest: readonly Start[]) {
  const on = (starts: readonly Start[]) => starts.filter(({ benchDay }) => benchDay === day);
  return on(accepted).length > 0 ? on(accepted) : on(newest);
}
