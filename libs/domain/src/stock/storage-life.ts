import { addDays, type CalendarDay, daysBetween } from '../calendar/calendar-day.js';

/** States of a container that still stands somewhere. A contaminated one waits to be discarded. */
export type OnHandState = 'incubating' | 'ripe' | 'chilled' | 'opened' | 'contaminated';

/** How a container stands against its storage life. */
export type Freshness = 'growing' | 'good' | 'soon' | 'past' | 'none';

/** The days that set the age of a container. */
export interface ContainerDays {
  readonly state: OnHandState;
  readonly generation: number;
  readonly madeOn: CalendarDay;
  /** Seen ripe; null when nobody has seen it ripe yet. */
  readonly ripeOn: CalendarDay | null;
  readonly chilledOn: CalendarDay | null;
  /** Taken out of the cold again, when it was. */
  readonly warmedOn: CalendarDay | null;
  readonly openedOn: CalendarDay | null;
}

export interface LifeRules {
  readonly daysToRipe: number;
  readonly warmLifeDays: number;
  readonly coldLifeDays: number;
  readonly openedLifeDays: number;
  /** Days a culture (generation 0) can inoculate after it was made. */
  readonly cultureLifeDays: number;
}

export interface StorageLife {
  /** Seen ripe, or made plus the days its strain takes. */
  readonly ripeOn: CalendarDay;
  readonly ripeExpected: boolean;
  /** The last day on which it can still be used, or null while it grows and when it is contaminated. */
  readonly expiresOn: CalendarDay | null;
  /** Days from `asOf` to `expiresOn`; negative when it is too old. */
  readonly daysLeft: number | null;
  readonly freshness: Freshness;
}

/** A container counts as `soon` in the last quarter of its storage life. Our own convention, not a published one. */
const SOON_SHARE_OF_LIFE = 0.25;

/**
 * How long a container on hand can still be used.
 *
 * A culture (generation 0) keeps from the day it was made. Otherwise warm life runs from the day it was ripe, cold life from the day it was chilled. A container taken out of the cold
 * goes on with the warm life it had left when it went in, and never outlasts its cold life: chilling is taken to stop
 * the warm clock, not to turn it back (common practice, no source). An opened one must be used up within the opened
 * life, and not after it would have expired closed.
 */
export function storageLife(days: ContainerDays, rules: LifeRules, asOf: CalendarDay): StorageLife {
  const ripeOn = days.ripeOn ?? addDays(days.madeOn, rules.daysToRipe);
  const ripeExpected = days.ripeOn === null;
  if (days.state === 'contaminated')
    return { ripeOn, ripeExpected, expiresOn: null, daysLeft: null, freshness: 'none' };
  if (days.state === 'incubating')
    return { ripeOn, ripeExpected, expiresOn: null, daysLeft: null, freshness: 'growing' };
  const { from, expiresOn } = expiry({ ...days, ripeOn }, rules);
  const daysLeft = daysBetween(asOf, expiresOn);
  return { ripeOn, ripeExpected, expiresOn, daysLeft, freshness: freshnessOf(daysLeft, daysBetween(from, expiresOn)) };
}

/**
 * The day from which the warm life of a container counts: the day it was ripe, put off by the days it then spent in
 * the cold before it was warmed again.
 */
export function warmLifeFrom(days: Pick<ContainerDays, 'chilledOn' | 'warmedOn'>, ripeOn: CalendarDay): CalendarDay {
  if (days.chilledOn === null || days.warmedOn === null || days.warmedOn < days.chilledOn) return ripeOn;
  return addDays(ripeOn, daysBetween(days.chilledOn, days.warmedOn));
}

type RipeDays = ContainerDays & { readonly ripeOn: CalendarDay };

function expiry(days: RipeDays, rules: LifeRules): { from: CalendarDay; expiresOn: CalendarDay } {
  const closed = closedExpiry(days, rules);
  if (days.openedOn === null) return closed;
  const opened = addDays(days.openedOn, rules.openedLifeDays);
  return opened < closed.expiresOn ? { from: days.openedOn, expiresOn: opened } : closed;
}

function closedExpiry(days: RipeDays, rules: LifeRules): { from: CalendarDay; expiresOn: CalendarDay } {
  if (days.generation === 0) return { from: days.madeOn, expiresOn: addDays(days.madeOn, rules.cultureLifeDays) };
  const cold = days.chilledOn === null ? null : addDays(days.chilledOn, rules.coldLifeDays);
  if (cold !== null && days.chilledOn !== null && days.state !== 'ripe' && days.warmedOn === null)
    return { from: days.chilledOn, expiresOn: cold };
  const from = warmLifeFrom(days, days.ripeOn);
  const warm = addDays(from, rules.warmLifeDays);
  return { from, expiresOn: cold !== null && cold < warm ? cold : warm };
}

function freshnessOf(daysLeft: number, lifeDays: number): Freshness {
  if (daysLeft < 0) return 'past';
  return daysLeft <= lifeDays * SOON_SHARE_OF_LIFE ? 'soon' : 'good';
}

/**
 * The share of its glass a container is drawn white with, 0 to 1: what was last seen, full when it is ripe, and
 * otherwise its age against the days its strain takes, never quite full before somebody has seen it ripe.
 */
export function drawnShare(
  container: { state: OnHandState; shareColonised: number | null; madeOn: CalendarDay },
  daysToRipe: number,
  asOf: CalendarDay,
): number {
  if (container.shareColonised !== null) return container.shareColonised;
  if (container.state !== 'incubating' && container.state !== 'contaminated') return 1;
  const grown = daysBetween(container.madeOn, asOf) / Math.max(1, daysToRipe);
  return Math.min(0.95, Math.max(0, grown));
}
