import type { CalendarDay } from '../calendar/calendar-day.js';
import type { Attribution, Cause } from '../contamination/attribution/attribute.js';
import { causeSentence } from '../contamination/attribution/cause-sentence.js';
import type { FactorLevel } from '../contamination/attribution/observed-lot.js';
import type { RipeningDays } from '../growth/days-to-ripe.js';
import { factorWords, type RateFactor } from '../rates/contamination-by-factor.js';
import type { NotEnoughData } from '../statistics/estimate.js';
import { type ContaminationShift, contaminationFlag } from './contamination-flag.js';
import type { Flag } from './flag.js';
import { cycleFlags, type EndedCycle, slowLotFlags, type UnripeLot } from './lot-flags.js';
import { badMotherFlags, type KinJar } from './mother-flags.js';

/** What a farm's log shows on a day, as the watch needs it. */
export interface LogSeen {
  /** The shift of the contamination rate that goes on, and which factors explain it among the lots since it began. */
  readonly shift: { readonly seen: ContaminationShift; readonly found: Attribution | NotEnoughData } | null;
  /** Which factors explain an excess among the lots of a year. */
  readonly causes: readonly Cause[];
  /** The jars of the last months and their mothers. */
  readonly line: readonly KinJar[];
  readonly unripeLots: readonly UnripeLot[];
  /** Days to ripe on this farm, by strain. */
  readonly ripening: ReadonlyMap<string, RipeningDays>;
  readonly cycles: readonly EndedCycle[];
}

/**
 * What the log alone shows that a grower should look at; what the plan shows is said by {@link ageingFlags} and
 * {@link fewMothersFlags}.
 * @param nameOf what a level of a factor is called: the code of a jar, cycle, batch or strain, the name of a room
 */
export function flagsOfLog(log: LogSeen, nameOf: (level: FactorLevel) => string, asOf: CalendarDay): Flag[] {
  const inWords = (level: FactorLevel) => `${factorWords[level.factor as RateFactor] ?? level.factor} ${nameOf(level)}`;
  const blamed = new Map(
    log.causes.flatMap((cause) => {
      const [member, ...others] = cause.members;
      if (others.length > 0 || member?.factor !== 'mother') return [];
      return [[nameOf(member), causeSentence(cause, inWords)] as const];
    }),
  );
  return [
    ...(log.shift === null ? [] : [contaminationFlag(log.shift.seen, log.shift.found, inWords, nameOf)]),
    ...badMotherFlags(log.line, asOf, blamed),
    ...slowLotFlags(log.unripeLots, log.ripening),
    ...cycleFlags(log.cycles),
  ];
}
