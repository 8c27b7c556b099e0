import type { DemoStrain } from './demo-plan.js';
import type { PlaceOnShelf } from './shelf-places.js';

export interface StoryStrain extends DemoStrain {
  readonly id: string;
}

/** A container of the invented farm, with the fate that nobody on the farm can know yet. */
export interface StoryJar {
  readonly id: string;
  readonly lotId: string;
  readonly strain: StoryStrain;
  readonly generation: number;
  readonly madeOn: number;
  /** Day number on which mould or bacteria can be seen, or null when it stays clean. */
  readonly spoilsOn: number | null;
  readonly ripensOn: number;
  readonly isPlate: boolean;
  leftG: number;
  place: PlaceOnShelf | null;
  cold: boolean;
  seenRipe: boolean;
  isMother: boolean;
  chilledOn: number | null;
  gone: boolean;
}

/** The last day on which the farm would still use it. */
export function lastUseDay(jar: StoryJar): number {
  if (jar.isPlate) return jar.madeOn + 60;
  return jar.chilledOn === null ? jar.ripensOn + jar.strain.warmLifeDays : jar.chilledOn + jar.strain.coldLifeDays;
}

export function isUsable(jar: StoryJar, today: number): boolean {
  return !jar.gone && jar.seenRipe && jar.leftG > 0 && lastUseDay(jar) >= today;
}

/** First expired, first out. */
export function byExpiry(a: StoryJar, b: StoryJar): number {
  return lastUseDay(a) - lastUseDay(b) || (a.id < b.id ? -1 : 1);
}

/** Share of the grain grown through after so many days: slow at first, then fast, then slow. */
export function colonisedShare(ageDays: number, daysToRipe: number): number {
  if (ageDays >= daysToRipe) return 1;
  const share = 1 / (1 + Math.exp(-8 * (ageDays / daysToRipe - 0.55)));
  return Math.round(Math.min(0.95, share) * 20) / 20;
}
