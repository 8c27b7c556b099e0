import type { CalendarDay } from '../calendar/calendar-day.js';

export const flagKinds = [
  'ageing-out',
  'stranded',
  'contamination-shift',
  'bad-mother',
  'few-mothers',
  'cycle-departed',
  'slow-lot',
] as const;
export type FlagKind = (typeof flagKinds)[number];

/** Something a grower should look at. All words are plain English; screens have their own catalogue. */
export interface Flag {
  /** The same for the same cause, day after day: a cause is flagged once. */
  readonly cause: string;
  readonly kind: FlagKind;
  /** What is the matter. */
  readonly what: string;
  /** The codes of the jars, lots or cycles concerned. */
  readonly where: readonly string[];
  readonly since: CalendarDay;
  readonly why: string;
  /** The best thing to do. */
  readonly action: string;
}

/** What stands and what was found, brought together. */
export interface FlagChanges {
  readonly raise: readonly Flag[];
  /** Still true; its words may have changed. */
  readonly keep: readonly Flag[];
  /** Causes that are gone. */
  readonly settle: readonly string[];
}

/** A cause that stands is not raised again, and one that is gone settles by itself. */
export function flagChanges(standing: readonly string[], found: readonly Flag[]): FlagChanges {
  const known = new Set(standing);
  const byCause = new Map(found.map((flag) => [flag.cause, flag]));
  const flags = [...byCause.values()];
  return {
    raise: flags.filter(({ cause }) => !known.has(cause)),
    keep: flags.filter(({ cause }) => known.has(cause)),
    settle: standing.filter((cause) => !byCause.has(cause)),
  };
}
