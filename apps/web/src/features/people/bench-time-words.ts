import type { StaffMember } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { formatDay } from '../../ui/format/index.js';

/** What the list says of somebody's bench time: minutes, and the next days away that have not passed. */
export function benchTimeWords({ active, benchMinutes, away }: StaffMember, today: CalendarDay): readonly string[] {
  if (!active) return [];
  const minutes = benchMinutes === null ? [] : [t('people.minutesADay', { minutes: benchMinutes })];
  const next = away.find(({ lastDay }) => lastDay >= today);
  if (next === undefined) return minutes;
  const words = { first: formatDay(next.firstDay), last: formatDay(next.lastDay) };
  if (next.firstDay === next.lastDay) return [...minutes, t('people.awayOn', { day: words.first })];
  return [...minutes, t('people.awayFrom', words)];
}
