import type { CalendarDay } from '@jarfold/domain';
import { useState } from 'react';
import { type MessageKey, t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { DayField } from '../../ui/Field.js';
import { formatDay } from '../../ui/format/index.js';
import { type ClosedPeriod, closedPeriods, readPeriod, withoutPeriod, withPeriod } from './closed-days.js';

/** Days on which nobody is at the bench, whatever the weekday: a period is added or taken out, and saved with the rest. */
export function ClosedDays({
  days,
  error,
  onChange,
}: {
  readonly days: readonly CalendarDay[];
  readonly error: string | undefined;
  readonly onChange: (days: readonly CalendarDay[]) => void;
}) {
  const [first, setFirst] = useState('');
  const [last, setLast] = useState('');
  const [wrong, setWrong] = useState<MessageKey | null>(null);
  const add = () => {
    const period = readPeriod(first, last);
    if (typeof period === 'string') return setWrong(period);
    onChange(withPeriod(days, period));
    setFirst('');
    setLast('');
    setWrong(null);
  };
  return (
    <fieldset className="boxes">
      <legend>{t('field.closedDays')}</legend>
      <div className="stack stack--tight">
        <p className="soft">{t('farm.closedHint')}</p>
        <ul className="plain">
          {closedPeriods(days).map((period) => (
            <li key={period.firstDay} className="closed-period">
              {periodWords(period)}
              <Button
                look="quiet"
                aria-label={t('farm.openAgain', { period: periodWords(period) })}
                onClick={() => onChange(withoutPeriod(days, period))}
              >
                {t('command.remove')}
              </Button>
            </li>
          ))}
        </ul>
        <div className="field-grid">
          <DayField
            label={t('field.closedFrom')}
            value={first}
            error={wrong === null ? undefined : t(wrong)}
            onChange={(event) => setFirst(event.target.value)}
          />
          <DayField label={t('field.closedTo')} value={last} onChange={(event) => setLast(event.target.value)} />
        </div>
        <div>
          <Button onClick={add}>{t('command.addClosedDays')}</Button>
        </div>
        {error && <p className="field__error">{error}</p>}
      </div>
    </fieldset>
  );
}

function periodWords({ firstDay, lastDay }: ClosedPeriod): string {
  return firstDay === lastDay
    ? formatDay(firstDay)
    : t('farm.closedPeriod', { first: formatDay(firstDay), last: formatDay(lastDay) });
}
