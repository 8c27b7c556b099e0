import { createHash } from 'node:crypto';

/** Anything that has a grower and its night. */
export interface GrowerZone {
  readonly id: string;
  readonly timeZone: string;
}

/** A nightly schedule as it should be. */
export interface NightlySchedule {
  readonly schedulerId: string;
  readonly growerId: string;
  /** Minute and hour of every day, read in `timeZone`. */
  readonly pattern: string;
  readonly timeZone: string;
}

/** A nightly schedule as the queue has it. */
export interface StandingSchedule {
  readonly schedulerId: string;
  readonly pattern: string | undefined;
  readonly timeZone: string | undefined;
}

/**
 * Four in the morning: after the clocks have changed in every zone that changes them at night, so that no night is
 * skipped or planned twice.
 */
const HOUR = 4;
const PREFIX = 'nightly-';

/** When a grower is planned for: in the hour from four, farm by farm at another minute, so that they do not queue up. */
export function nightlySchedule({ id, timeZone }: GrowerZone): NightlySchedule {
  const minute = createHash('sha256').update(id).digest().readUInt16BE(0) % 60;
  return { schedulerId: `${PREFIX}${id}`, growerId: id, pattern: `${minute} ${HOUR} * * *`, timeZone };
}

/** What to set and what to remove so that every grower has its night and nobody else has. */
export function scheduleChanges(
  growers: readonly GrowerZone[],
  standing: readonly StandingSchedule[],
): { readonly set: readonly NightlySchedule[]; readonly remove: readonly string[] } {
  const wanted = growers.map(nightlySchedule);
  const byId = new Map(standing.map((schedule) => [schedule.schedulerId, schedule]));
  // One that stands as it should is left alone: setting it again would drop a run that is due this moment.
  const set = wanted.filter(({ schedulerId, pattern, timeZone }) => {
    const known = byId.get(schedulerId);
    return known?.pattern !== pattern || known.timeZone !== timeZone;
  });
  const ids = new Set(wanted.map(({ schedulerId }) => schedulerId));
  const remove = standing
    .map(({ schedulerId }) => schedulerId)
    .filter((schedulerId) => schedulerId.startsWith(PREFIX) && !ids.has(schedulerId));
  return { set, remove };
}
