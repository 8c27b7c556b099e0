import { type CalendarDay, isoWeekday } from '@jarfold/domain';

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** `Thu 26 Nov` */
export function shortDay(day: CalendarDay): string {
  return `${WEEKDAYS[isoWeekday(day) - 1]} ${Number(day.slice(8))} ${MONTHS[Number(day.slice(5, 7)) - 1]}`;
}

/** `Thu 26 Nov 2026` */
export const longDay = (day: CalendarDay): string => `${shortDay(day)} ${day.slice(0, 4)}`;

/** `3 jars`, `1 jar`; `3 half-litre jars`. */
export function counted(count: number, what: string): string {
  return `${count} ${count === 1 ? what : plural(what)}`;
}

const plural = (what: string) => (/(s|x|ch|sh)$/i.test(what) ? what : `${what}s`);

/** Kilograms above a kilogram, grams below; as exact as a kitchen scale. */
export function mass(grams: number): string {
  return grams < 1000 ? `${Math.round(grams)} g` : `${(grams / 1000).toFixed(grams < 10_000 ? 2 : 1)} kg`;
}

export const litres = (millilitres: number): string =>
  millilitres < 1000 ? `${Math.round(millilitres)} ml` : `${(millilitres / 1000).toFixed(1)} l`;

/** `92 %`; below a tenth of a per cent it says so instead of 0. */
export function share(fraction: number): string {
  const percent = fraction * 100;
  if (percent > 0 && percent < 0.1) return '< 0.1 %';
  return `${percent < 10 ? Number(percent.toFixed(1)) : Math.round(percent)} %`;
}
