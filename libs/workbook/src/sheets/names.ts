import type { WorkbookProblemCode } from '../problem.js';
import { cleanText, nameKey } from './clean-text.js';
import type { Columns } from './column.js';
import { nearestName } from './nearest-name.js';
import type { ProblemList } from './problem-list.js';
import type { TableRow } from './read-table.js';

/** After so many unknown names a sheet is plainly of another farm, and looking for near ones only takes time. */
const SUGGESTIONS = 500;

/**
 * The rows of a sheet, to look names up in. Null when the sheet is missing: then nothing about its names is said,
 * since the missing sheet was.
 */
export class Names {
  readonly #names: ReadonlyMap<string, string> | null;
  readonly #what: string;
  readonly #sheet: string;
  #suggested = 0;

  constructor(what: string, sheet: string, names: readonly string[] | null) {
    this.#what = what;
    this.#sheet = sheet;
    this.#names = names && new Map(names.map((name) => [nameKey(name), name]));
  }

  /** Nothing to look up: the sheet is missing or has no rows. */
  get isEmpty(): boolean {
    return (this.#names?.size ?? 0) === 0;
  }

  has(name: string): boolean {
    return this.#names?.has(nameKey(name)) ?? false;
  }

  /** The name as its own sheet writes it, or null with a problem reported. */
  find<C extends Columns>(row: TableRow<C>, key: keyof C & string, written: string, found: ProblemList): string | null {
    if (!this.#names) return null;
    const name = this.#names.get(nameKey(written));
    if (name !== undefined) return name;
    const rule = `The sheet ${this.#sheet} has no ${this.#what} "${cleanText(written)}".`;
    report(found, row, key, 'unknown-name', rule, this.#advice(written));
    return null;
  }

  /** A name this close is taken for a slip. */
  near(written: string): string | null {
    if (!this.#names || this.#suggested >= SUGGESTIONS) return null;
    this.#suggested += 1;
    return nearestName(cleanText(written), this.#names.values());
  }

  #advice(written: string): string {
    const near = this.near(written);
    return near ? `Did you mean "${near}"?` : `Add it to the sheet ${this.#sheet}, or correct the name.`;
  }
}

/** Reports something about a cell that is only known once rows are compared. */
export function report<C extends Columns>(
  found: ProblemList,
  row: TableRow<C>,
  key: keyof C & string,
  code: WorkbookProblemCode,
  rule: string,
  advice: string,
): void {
  const { sheet } = row;
  found.add({ code, sheet, cell: row.cell(key), column: row.header(key), value: row.shown(key), rule, advice });
}
