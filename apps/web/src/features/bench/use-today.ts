import { type CalendarDay, calendarDayAt } from '@jarfold/domain';
import { useEffect, useState } from 'react';
import type { BenchCore } from '../../offline/index.js';

const LOOK_MS = 15_000;

/** The farm's day. A tablet lies on the bench over midnight with nothing else to make it look again. */
export function useToday(core: Pick<BenchCore, 'nowMs'>, timeZone: string): CalendarDay {
  const [today, setToday] = useState(() => calendarDayAt(core.nowMs(), timeZone));
  useEffect(() => {
    const look = () => setToday(calendarDayAt(core.nowMs(), timeZone));
    look();
    const timer = setInterval(look, LOOK_MS);
    return () => clearInterval(timer);
  }, [core, timeZone]);
  return today;
}
