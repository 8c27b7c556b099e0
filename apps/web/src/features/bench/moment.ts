import { locale } from '../../messages/translate.js';

/** A moment on the farm's wall clock: day and time. */
export function formatMoment(epochMs: number, timeZone: string): string {
  return new Intl.DateTimeFormat(locale, {
    timeZone,
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
  }).format(epochMs);
}

/** Making one is dear on a slow tablet, and what a tap came to is said with its time. A tablet works for few farms. */
const timeFormats = new Map<string, Intl.DateTimeFormat>();

export function formatTime(epochMs: number, timeZone: string): string {
  let format = timeFormats.get(timeZone);
  if (!format) {
    format = new Intl.DateTimeFormat(locale, { timeZone, hour: '2-digit', minute: '2-digit' });
    timeFormats.set(timeZone, format);
  }
  return format.format(epochMs);
}
