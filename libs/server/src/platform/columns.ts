import type { CalendarDay } from '@jarfold/domain';
import { calendarDay } from '@jarfold/domain';

/**
 * Between columns and plain values. A `date` column arrives as a Date at midnight UTC; only its calendar part means
 * anything. A `numeric` column arrives as a decimal object.
 */

export function dayFromColumn(date: Date): CalendarDay {
  return calendarDay(date.toISOString().slice(0, 10));
}

export function dayFromColumnOrNull(date: Date | null): CalendarDay | null {
  return date === null ? null : dayFromColumn(date);
}

export function dayToColumn(day: CalendarDay): Date {
  return new Date(`${day}T00:00:00.000Z`);
}

export function dayToColumnOrNull(day: CalendarDay | null): Date | null {
  return day === null ? null : dayToColumn(day);
}

interface DecimalColumn {
  toNumber(): number;
}

/** Exact for every numeric column of the schema: none has more than 14 digits. */
export function numberFromColumn(decimal: DecimalColumn): number {
  return decimal.toNumber();
}

export function numberFromColumnOrNull(decimal: DecimalColumn | null): number | null {
  return decimal === null ? null : decimal.toNumber();
}

/** @throws RangeError when a position or sequence no longer fits a number; at one entry a microsecond that is in 285 years. */
export function countFromColumn(count: bigint): number {
  if (count > BigInt(Number.MAX_SAFE_INTEGER)) throw new RangeError(`${count} does not fit a number.`);
  return Number(count);
}
