import type { FileUnits } from './file-units.js';
import type { TheirRow } from './merge-rows.js';
import type { CellValues } from './run-cells.js';

/** What is wrong at one place of a file, told so that its owner can put it right. */
export interface FileProblem {
  readonly code: string;
  /** Name of the sheet as it stands in the file; null when the problem is the file itself. */
  readonly sheet: string | null;
  /** Address such as `C7`; null when a sheet or a column is missing. */
  readonly cell: string | null;
  /** Heading of the column or name of the setting. */
  readonly column: string | null;
  /** What the cell shows; null when there is nothing to show. */
  readonly value: string | null;
  readonly rule: string;
  readonly advice: string;
}

/** A weekly workbook that came back, read but not yet compared with anything of the farm. */
export interface ReturnedBook {
  readonly format: string;
  readonly growerId: string;
  readonly farmName: string;
  readonly exportId: string;
  readonly madeAt: string;
  readonly units: FileUnits;
  readonly base: readonly { readonly key: string; readonly revision: number; readonly cells: CellValues }[];
  /** The sheet the table was found on, whatever it is called now. */
  readonly sheet: string;
  readonly rows: readonly TheirRow[];
  /** Headings of the columns that a person may change, by their name. */
  readonly headings: Readonly<Record<string, string>>;
  /** Columns of the person's own, and columns whose changes mean nothing. */
  readonly ignoredColumns: readonly string[];
  readonly notes: readonly string[];
}

export type BookReading =
  | { readonly ok: true; readonly book: ReturnedBook }
  | { readonly ok: false; readonly problems: readonly FileProblem[] };
