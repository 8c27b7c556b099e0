import type { CalendarDay } from '../calendar/calendar-day.js';
import type { Cause } from '../contamination/attribution/attribute.js';
import { causeSentence } from '../contamination/attribution/cause-sentence.js';
import type { FactorLevel } from '../contamination/attribution/observed-lot.js';
import type { RipeningDays } from '../growth/days-to-ripe.js';
import { factorWords, type RateFactor } from '../rates/contamination-by-factor.js';
import { rateOverTime } from '../rates/contamination-over-time.js';
import type { LotCell } from '../rates/lot-cell.js';
import { contaminationFlags } from './contamination-flag.js';
import type { Flag } from './flag.js';
import { cycleFlags, type EndedCycle, slowLotFlags, type UnripeLot } from './lot-flags.js';
import { badMotherFlags, type KinJar } from './mother-flags.js';

/** What a farm's log shows on a day, as the watch needs it. */
export interface LogSeen {
  /** Of lots that count, a year back. */
  readonly cells: readonly LotCell[];
  /** Which factors explain an excess among them. */
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
  const named = log.causes.map((cause) => ({
    members: cause.members,
    sentence: causeSentence(cause, inWords),
    where: cause.members.map(nameOf),
  }));
  const blamed = new Map(
    named.flatMap(({ members, sentence }) =>
      members.length === 1 && members[0]!.factor === 'mother' ? [[nameOf(members[0]!), sentence] as const] : [],
    ),
  );
  return [
    ...contaminationFlags(rateOverTime(log.cells, 'week'), named, asOf),
    ...badMotherFlags(log.line, asOf, blamed),
    ...slowLotFlags(log.unripeLots, log.ripening),
    ...cycleFlags(log.cycles),
  ];
}
