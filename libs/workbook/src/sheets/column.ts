import type { Cell } from '../cells/cell.js';
import type { WorkbookProblemCode } from '../problem.js';

/** What a cell says, or why it cannot be read. */
export type Reading<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly code: WorkbookProblemCode; readonly rule: string; readonly advice: string };

export const understood = <T>(value: T): Reading<T> => ({ ok: true, value });
export const refused = (code: WorkbookProblemCode, rule: string, advice: string): Reading<never> => ({
  ok: false,
  code,
  rule,
  advice,
});

/** A value as it is written into a cell. */
export type WrittenValue = string | number | boolean | { readonly day: string };

/** A kind of value: how it is read, written and shown in a guide. */
export interface ValueKind<T> {
  /** For the guide: `whole number`, `day` … */
  readonly name: string;
  readonly read: (cell: Cell) => Reading<T>;
  readonly write: (value: T) => WrittenValue;
  /** Number format of the column when written. */
  readonly numberFormat: string | null;
  /** Words to choose from, for a validation list. */
  readonly words: readonly string[] | null;
}

/** What is used when a cell is left blank. */
export interface Fallback {
  /** As the guide says it: `1`, `the size's ripe grams`. */
  readonly shown: string;
  /** Where the value comes from: a publication, "common practice, no source", or "our choice". */
  readonly because: string;
}

/** One column of a sheet, or one setting of the Farm sheet. */
export interface Column<T> {
  readonly header: string;
  /** Other headings that mean the same column. */
  readonly alsoCalled: readonly string[];
  readonly kind: ValueKind<T>;
  readonly unit: string | null;
  readonly meaning: string;
  /** Null when the column must be filled. */
  readonly fallback: Fallback | null;
  readonly example: string;
}

// biome-ignore lint/suspicious/noExplicitAny: columns of one sheet hold values of different types; ValuesOf gives each its own.
export type Columns = Readonly<Record<string, Column<any>>>;

/** The values of one row: null where a cell is blank. */
export type ValuesOf<C extends Columns> = {
  readonly [K in keyof C]: C[K] extends Column<infer T> ? T | null : never;
};

export interface SheetDefinition<C extends Columns> {
  readonly name: string;
  readonly meaning: string;
  readonly columns: C;
  /** The column that names a row; no two rows may share it. */
  readonly key: keyof C & string;
  /** Whether the sheet must hold at least one row. */
  readonly mayBeEmpty: boolean;
}

interface ColumnOptions {
  readonly unit?: string;
  readonly alsoCalled?: readonly string[];
  readonly fallback?: Fallback;
  readonly example: string;
}

export function column<T>(header: string, kind: ValueKind<T>, meaning: string, options: ColumnOptions): Column<T> {
  const { unit = null, alsoCalled = [], fallback = null, example } = options;
  return { header, alsoCalled, kind, unit, meaning, fallback, example };
}

export const fallback = (shown: string, because: string): Fallback => ({ shown, because });
