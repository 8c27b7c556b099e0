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

export function formatTime(epochMs: number, timeZone: string): string {
  return new Intl.DateTimeFormat(locale, { timeZone, hour: '2-digit', minute: '2-digit' }).format(epochMs);
}
