import type { StaffMember } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { formatDay } from '../../ui/format/index.js';

/** What the list says of somebody's bench time: minutes, and the next days away that have not passed. */
export function benchTimeWords(
  { active, benchMinutes, away }: StaffMember,
  { today, anybodySaid }: { readonly today: CalendarDay; readonly anybodySaid: boolean },
): readonly string[] {
  if (!active) return [];
  const minutes = minuteWords(benchMinutes, anybodySaid);
  const next = away.find(({ lastDay }) => lastDay >= today);
  if (next === undefined) return minutes;
  const words = { first: formatDay(next.firstDay), last: formatDay(next.lastDay) };
  if (next.firstDay === next.lastDay) return [...minutes, t('people.awayOn', { day: words.first })];
  return [...minutes, t('people.awayFrom', words)];
}

/** Whoever has said no minutes counts with none once somebody has; before that nothing follows from it. */
function minuteWords(benchMinutes: StaffMember['benchMinutes'], anybodySaid: boolean): readonly string[] {
  if (benchMinutes !== null) return [t('people.minutesADay', { minutes: benchMinutes })];
  return anybodySaid ? [t('people.minutesNone')] : [];
}
