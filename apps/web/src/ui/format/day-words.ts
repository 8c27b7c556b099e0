import { isCalendarDay } from '@jarfold/domain';
import { formatDay } from './day.js';

const A_DAY = /\d{4}-\d{2}-\d{2}/g;

/** The domain's plain words with every calendar day written as the screens write days. */
export const dayWords = (text: string): string =>
  text.replace(A_DAY, (day) => (isCalendarDay(day) ? formatDay(day) : day));
