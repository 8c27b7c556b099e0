/** A tablet's clock this far off is told to the person: entries would land on the wrong day soon. */
export const CLOCK_TOLERANCE_MS = 5 * 60_000;
/** No tablet holds unsent work longer than this; an older moment is a clock that was reset, not a late entry. */
export const OLDEST_UNSENT_MS = 400 * 86_400_000;

export interface ClockReading {
  /** Tablet clock when it happened. */
  readonly happenedAtMs: number;
  /** Server clock minus tablet clock, measured when the entries were sent. */
  readonly offsetMs: number;
  /** Server clock now. */
  readonly nowMs: number;
  /** The moment the device's previous entry counts for. */
  readonly previousAtMs: number | null;
}

export interface EffectiveMoment {
  readonly atMs: number;
  readonly clockWrong: boolean;
}

/**
 * The moment an entry counts for. The tablet's clock is corrected by its measured offset; a result in the future or
 * absurdly old is replaced by now. Entries of one device never run backwards: its own sequence is the order of its
 * hands, whatever its clock did in between.
 */
export function effectiveMoment({ happenedAtMs, offsetMs, nowMs, previousAtMs }: ClockReading): EffectiveMoment {
  const correctedMs = happenedAtMs + offsetMs;
  const future = correctedMs > nowMs + CLOCK_TOLERANCE_MS;
  const absurd = future || correctedMs < nowMs - OLDEST_UNSENT_MS;
  const plausibleMs = absurd ? nowMs : Math.min(correctedMs, nowMs);
  return {
    atMs: Math.max(plausibleMs, previousAtMs ?? -Infinity),
    clockWrong: absurd || Math.abs(offsetMs) > CLOCK_TOLERANCE_MS,
  };
}
