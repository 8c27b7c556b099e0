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
  /** The codes of the jars, lots, cycles or weeks concerned. */
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
  /** Settled lately and true again: it never was gone, so it stands as it was first raised and is no news. */
  readonly back: readonly Flag[];
  /** Causes that are gone. */
  readonly settle: readonly string[];
}

/**
 * Of these there is one at a time: a shift of the rate goes on under the name it was raised by, though with every week
 * its beginning is seen a little differently.
 */
const ONE_AT_A_TIME: readonly FlagKind[] = ['contamination-shift'];

/**
 * A cause that stands is not raised again, and one that is gone settles by itself.
 * @param settledLately causes that settled so short a time ago that they count as the same when they come back
 */
export function flagChanges(
  standing: readonly string[],
  found: readonly Flag[],
  settledLately: readonly string[] = [],
): FlagChanges {
  const known = new Set(standing);
  const lately = new Set(settledLately.filter((cause) => !known.has(cause)));
  const causeOf = ({ cause, kind }: Flag): string =>
    ONE_AT_A_TIME.includes(kind) ? ([...known, ...lately].find((each) => each.startsWith(`${kind}/`)) ?? cause) : cause;
  const byCause = new Map(found.map((flag) => [causeOf(flag), { ...flag, cause: causeOf(flag) }]));
  const flags = [...byCause.values()];
  return {
    raise: flags.filter(({ cause }) => !known.has(cause) && !lately.has(cause)),
    keep: flags.filter(({ cause }) => known.has(cause)),
    back: flags.filter(({ cause }) => lately.has(cause)),
    settle: standing.filter((cause) => !byCause.has(cause)),
  };
}
