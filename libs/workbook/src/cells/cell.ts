import type { CalendarDay } from '@jarfold/domain';

/** What a cell holds, as the file says it and before anything is made of it. */
export type CellContent =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'number'; readonly number: number; readonly percent: boolean }
  /** A cell formatted as a date; `day` is null for a number or text that is no day. `shown` is for messages. */
  | { readonly kind: 'day'; readonly day: CalendarDay | null; readonly shown: string }
  | { readonly kind: 'boolean'; readonly value: boolean }
  | { readonly kind: 'error'; readonly code: string }
  /** A formula the file holds no result for. */
  | { readonly kind: 'uncomputed' };

export interface Cell {
  /** 1 is the first row. */
  readonly row: number;
  /** 1 is column A. */
  readonly column: number;
  readonly content: CellContent;
  readonly formula: boolean;
}

export interface SheetRow {
  readonly row: number;
  readonly cells: readonly Cell[];
}

/** A block of cells merged into one; only its top left cell holds a value. */
export interface MergedBlock {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

export interface SheetCells {
  readonly name: string;
  readonly hidden: boolean;
  /** Rows that hold something, in order. */
  readonly rows: readonly SheetRow[];
  readonly merged: readonly MergedBlock[];
}

export interface WorkbookCells {
  readonly sheets: readonly SheetCells[];
}
