import { isCalendarDay } from '@jarfold/domain';
import { formatDay } from './day.js';
import { formatMass } from './quantity.js';

const A_DAY = /\d{4}-\d{2}-\d{2}/g;
const GRAMS = /(?<![\d.,])(\d+(?:\.\d+)?) g\b/g;

/** The domain's plain words with calendar days and grams written as the screens write them. */
export const houseWords = (text: string): string =>
  text
    .replace(A_DAY, (day) => (isCalendarDay(day) ? formatDay(day) : day))
    .replace(GRAMS, (_, grams: string) => formatMass(Number(grams)));
