import type { CalendarDay } from '../../calendar/calendar-day.js';

/** What a cell of a farm's own file holds, as the file says it and before anything is made of it. */
export type WrittenContent =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'number'; readonly number: number; readonly percent: boolean }
  /** A cell formatted as a date; `day` is null for a number or text that is no day. `shown` is for messages. */
  | { readonly kind: 'day'; readonly day: CalendarDay | null; readonly shown: string }
  | { readonly kind: 'boolean'; readonly value: boolean }
  | { readonly kind: 'error'; readonly code: string }
  /** A formula the file holds no result for. */
  | { readonly kind: 'uncomputed' };

export interface WrittenCell {
  /** 1 is the first row. */
  readonly row: number;
  /** 1 is column A. */
  readonly column: number;
  readonly content: WrittenContent;
  readonly formula: boolean;
}

export interface WrittenRow {
  readonly row: number;
  readonly cells: readonly WrittenCell[];
}

/** A block of cells merged into one; only its top left cell holds a value. */
export interface MergedCells {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

export interface WrittenSheet {
  readonly name: string;
  readonly hidden: boolean;
  /** Rows that hold something, in order. */
  readonly rows: readonly WrittenRow[];
  readonly merged: readonly MergedCells[];
}

/** A farm's own spreadsheet, opened. A text file is one sheet. */
export interface WrittenFile {
  readonly sheets: readonly WrittenSheet[];
}

/** What a cell shows, for a person to find it by. */
export function shownContent(content: WrittenContent): string {
  switch (content.kind) {
    case 'text':
      return content.text;
    case 'number':
      return content.percent ? `${Number((content.number * 100).toPrecision(12))} %` : String(content.number);
    case 'day':
      return content.shown;
    case 'boolean':
      return content.value ? 'TRUE' : 'FALSE';
    case 'error':
      return content.code;
    case 'uncomputed':
      return '(formula)';
  }
}

/** `C7` for column 3, row 7. */
export function cellName(column: number, row: number): string {
  return `${columnName(column)}${row}`;
}

/** `C` for column 3, `AA` for column 27. */
export function columnName(column: number): string {
  let letters = '';
  for (let rest = column; rest > 0; rest = Math.floor((rest - 1) / 26)) {
    letters = String.fromCharCode(65 + ((rest - 1) % 26)) + letters;
  }
  return letters;
}
