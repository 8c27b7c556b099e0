import { addDays, type CalendarDay, daysBetween } from '../calendar/calendar-day.js';
import { groupedBy } from '../grouped-by.js';
import type { Flag } from './flag.js';

/** A jar the newest plan does nothing with before it is too old. */
export interface UnusedJar {
  readonly code: string;
  readonly lotCode: string;
  readonly strainId: string;
  readonly cold: boolean;
  readonly expiresOn: CalendarDay;
  readonly grams: number;
}

export interface WaitingRun {
  readonly name: string;
  readonly day: CalendarDay;
  readonly strainIds: readonly string[];
  readonly shortGrams: number;
}

/** Cold stock is flagged this long before it is lost: enough to move a run. */
const WARNING_DAYS = 14;
/** Other stock without a use is told this long before: runs of later weeks are often not planned yet. */
const STRANDED_DAYS = 28;

/**
 * Cold stock that will age out before it is used, and other jars without a use, lot by lot. Each says how long is left
 * and which run could take it: one of its strain that is short, before the jars are too old.
 */
export function ageingFlags(jars: readonly UnusedJar[], runs: readonly WaitingRun[], asOf: CalendarDay): Flag[] {
  const near = jars.filter(({ expiresOn }) => expiresOn <= addDays(asOf, STRANDED_DAYS));
  const lots = groupedBy(near, (jar) => `${isAgeingOut(jar, asOf) ? 'ageing-out' : 'stranded'}/${jar.lotCode}`);
  return [...lots].map(([cause, own]) => flagOf(cause, own, runs, asOf));
}

const isAgeingOut = ({ cold, expiresOn }: UnusedJar, asOf: CalendarDay): boolean =>
  cold && expiresOn <= addDays(asOf, WARNING_DAYS);

function flagOf(cause: string, jars: readonly UnusedJar[], runs: readonly WaitingRun[], asOf: CalendarDay): Flag {
  const [first] = [...jars].sort((one, other) => (one.expiresOn < other.expiresOn ? -1 : 1));
  const { expiresOn, lotCode, strainId } = first!;
  const left = daysBetween(asOf, expiresOn);
  const grams = Math.round(jars.reduce((sum, jar) => sum + jar.grams, 0));
  const cold = cause.startsWith('ageing-out');
  const run = runs
    .filter((each) => each.strainIds.includes(strainId) && each.day >= asOf && each.day <= expiresOn)
    .sort((one, other) => other.shortGrams - one.shortGrams || (one.day < other.day ? -1 : 1))[0];
  return {
    ...{ cause, kind: cold ? 'ageing-out' : 'stranded', since: asOf },
    what: `${counted(jars.length, cold)} of ${lotCode} (${grams} g) ${became(left, expiresOn)}.`,
    where: jars.map(({ code }) => code).sort(),
    why: left < 0 ? 'Nothing used them in time.' : 'The newest plan has no use for them before that day.',
    action: left < 0 ? TOO_OLD : run ? `Use them in ${run.name} on ${run.day}, or move a run forward.` : NO_RUN,
  };
}

const TOO_OLD = 'Test on a spoonful of grain whether it still regrows; if not, discard and log it.';
const NO_RUN = 'Plan a run that can take them before that day, inoculate from them, or hand them to someone.';

const counted = (jars: number, cold: boolean): string =>
  `${jars} ${cold ? 'chilled ' : ''}${jars === 1 ? 'jar' : 'jars'}`;

function became(left: number, expiresOn: CalendarDay): string {
  if (left === 0) return 'too old after today';
  const days = Math.abs(left) === 1 ? '1 day' : `${Math.abs(left)} days`;
  return left < 0 ? `too old since ${days}` : `too old in ${days}, on ${expiresOn}`;
}
