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
  /** Day some of it was first taken. */
  openedOn: number | null;
  /** Stands where nobody looks. */
  forgotten: boolean;
  gone: boolean;
}

/** The last day on which the farm would still use it. */
export function lastUseDay(jar: StoryJar, openedLifeDays: number): number {
  if (jar.isPlate) return jar.madeOn + 60;
  const unopened =
    jar.chilledOn === null ? jar.ripensOn + jar.strain.warmLifeDays : jar.chilledOn + jar.strain.coldLifeDays;
  return jar.openedOn === null ? unopened : Math.min(unopened, jar.openedOn + openedLifeDays);
}

export function isUsable(jar: StoryJar, today: number, openedLifeDays: number): boolean {
  return !jar.gone && !jar.forgotten && jar.seenRipe && jar.leftG > 0 && lastUseDay(jar, openedLifeDays) >= today;
}

/** First expired, first out. */
export const byExpiry =
  (openedLifeDays: number) =>
  (a: StoryJar, b: StoryJar): number =>
    lastUseDay(a, openedLifeDays) - lastUseDay(b, openedLifeDays) || (a.id < b.id ? -1 : 1);

/** Share of the grain grown through after so many days: slow at first, then fast, then slow. */
export function colonisedShare(ageDays: number, daysToRipe: number): number {
  if (ageDays >= daysToRipe) return 1;
  const share = 1 / (1 + Math.exp(-8 * (ageDays / daysToRipe - 0.55)));
  return Math.round(Math.min(0.95, share) * 20) / 20;
}
