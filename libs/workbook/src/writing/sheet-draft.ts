import type { CalendarDay } from '@jarfold/domain';

/** A value to write. Text is always written as text, also when it looks like a formula. */
export type DraftValue = string | number | DraftDay | DraftLink | null;

export interface DraftDay {
  readonly day: CalendarDay;
}

/** Text that leads to a place in the same workbook, such as `'Bulk runs'!C7`. */
export interface DraftLink {
  readonly text: string;
  readonly to: string;
}

/** What a cell may hold; a spreadsheet program offers it and refuses anything else. */
export type DraftRule =
  | { readonly kind: 'words'; readonly words: readonly string[] }
  /** Words that stand in the workbook under a defined name. */
  | { readonly kind: 'named'; readonly name: string }
  | { readonly kind: 'number'; readonly min: number; readonly max: number; readonly whole?: boolean }
  | { readonly kind: 'day' };

export interface DraftColumn {
  readonly header: string;
  /** In characters. */
  readonly width: number;
  /** `@` is text, `0` a whole number, `yyyy-mm-dd` a day. */
  readonly format: string;
  readonly wrap?: boolean;
  /** Left when left out, except for numbers. */
  readonly align?: 'left' | 'right';
  /** Shown when the pointer rests on the heading. */
  readonly note?: string;
  /** Words a cell of this column may hold. */
  readonly words?: readonly string[];
  readonly rule?: DraftRule;
  /** Sum shown in the last row of the table. */
  readonly total?: boolean;
  /** A formula over cells of the same row; the row's own value is written beside it as its result. */
  readonly formula?: (cellOf: (header: string) => string) => string;
  /** A bar behind each number, as long as the number is large. */
  readonly bar?: boolean;
  readonly hidden?: boolean;
  /** A cell people are meant to change: it shows. */
  readonly editable?: boolean;
}

/** Rows that stand out by a formula over cells of the row, so that they also do once a person has changed a value. */
export interface DraftHighlight {
  readonly when: (cellOf: (header: string) => string) => string;
  readonly look: 'care' | 'good';
}

/** A column chart beside the table. */
export interface DraftChart {
  readonly title: string;
  /** Only the last so many rows. */
  readonly lastRows: number;
  readonly categories: string;
  readonly values: string;
  /** Number format of the value axis. */
  readonly format: string;
}

/** A table on a sheet, with lines of text above it. */
export interface SheetDraft {
  readonly name: string;
  /** First line large, the others small; above the table. */
  readonly title: readonly string[];
  readonly columns: readonly DraftColumn[];
  readonly rows: Iterable<readonly DraftValue[]>;
  /** Written below the headings when there are no rows. */
  readonly whenEmpty?: string;
  /** Rows to mark: they stand out on screen and on paper. */
  readonly marked?: (row: readonly DraftValue[]) => boolean;
  readonly highlights?: readonly DraftHighlight[];
  readonly chart?: DraftChart;
  /** Left out: shown. `very` cannot be unhidden from a menu. */
  readonly hidden?: 'hidden' | 'very';
  /** Left out: landscape. */
  readonly orientation?: 'portrait' | 'landscape';
  /** Points of the table's text; 11 when left out. Larger for a sheet read on a phone. */
  readonly textSize?: number;
  /** False for a sheet whose headings may scroll away. */
  readonly freeze?: boolean;
  /** Names for a column's cells, by heading: other sheets' lists refer to them. */
  readonly names?: Readonly<Record<string, string>>;
}
