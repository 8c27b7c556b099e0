import type { CalendarDay } from '@jarfold/domain';

/** A value to write. Text is always written as text, also when it looks like a formula. */
export type DraftValue = string | number | { readonly day: CalendarDay } | null;

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
  /** Sum shown in the last row of the table. */
  readonly total?: boolean;
}

/** A table on a sheet, with lines of text above it. */
export interface SheetDraft {
  readonly name: string;
  /** First line large, the others small; above the table. */
  readonly title: readonly string[];
  readonly columns: readonly DraftColumn[];
  readonly rows: readonly (readonly DraftValue[])[];
  /** Written below the headings when there are no rows. */
  readonly whenEmpty?: string;
  /** Rows to mark: they stand out on screen and on paper. */
  readonly marked?: (row: readonly DraftValue[]) => boolean;
}
