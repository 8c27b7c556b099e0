import type { Ahead } from '@jarfold/contracts';
import { t } from '../../messages/translate.js';
import { formatDayAndMonth, formatWeekOf } from '../../ui/format/index.js';

export type AheadWeek = Ahead['weeks'][number];

/** A week by its ISO name and its Monday, on one line. */
export const WeekCell = ({ monday }: Pick<AheadWeek, 'monday'>) => (
  <span className="week-cell">{t('ahead.week', { week: formatWeekOf(monday), day: formatDayAndMonth(monday) })}</span>
);
