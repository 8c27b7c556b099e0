import type { CalendarDay } from '@jarfold/domain';

/**
 * Rows as they are handed to and from the database as JSON: numbers for numeric columns, `YYYY-MM-DD` for dates, ISO
 * 8601 in UTC for moments. One statement then writes or reads any number of rows.
 */
export interface EntryRow {
  readonly position: number;
  readonly id: string;
  readonly device_id: string;
  readonly device_seq: number;
  readonly staff_id: string;
  readonly kind: string;
  readonly payload: Readonly<Record<string, unknown>>;
  readonly happened_at: string;
  readonly clock_offset_ms: number;
  readonly effective_at: string;
  readonly effective_day: CalendarDay;
  readonly recorded_at: string;
  readonly outcome: 'applied' | 'refused';
  readonly refusal_code: string | null;
  readonly details: EntryDetails | null;
  readonly warnings: readonly Remark[];
  readonly facts: Readonly<Record<string, unknown>>;
  readonly content_hash: string;
  readonly previous_hash: string;
  readonly hash: string;
}

/** An entry as it was decided, not yet chained to the one before. */
export type DecidedRow = Omit<EntryRow, 'previous_hash' | 'hash'>;

export interface EntryDetails {
  readonly obstacles: readonly Remark[];
}

export interface Remark {
  readonly code: string;
  readonly details: Readonly<Record<string, unknown>>;
}

export interface DeviceRow {
  readonly id: string;
  readonly lastSeq: number;
  readonly lastEffectiveAtMs: number | null;
  readonly revoked: boolean;
  /** An enrolled tablet, which sends its own entries only. */
  readonly enrolled: boolean;
}

export interface CounterRow {
  readonly position: number;
  readonly headHash: string;
}
