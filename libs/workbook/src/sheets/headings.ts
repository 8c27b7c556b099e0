import { address, columnLetters } from '../cells/address.js';
import type { SheetCells, SheetRow } from '../cells/cell.js';
import { shownValue } from './cell-text.js';
import { headingKey } from './clean-text.js';
import type { Columns, SheetDefinition } from './column.js';
import { nearestName } from './nearest-name.js';
import type { ProblemList } from './problem-list.js';

/** Where the heading row is, and in which column of the sheet each known column stands (1 is A). */
export interface Headings {
  readonly row: number;
  readonly places: ReadonlyMap<string, number>;
}

/** A title and a remark or two may stand above the headings. */
const ROWS_SEARCHED = 30;

/**
 * Finds the heading row: the one of the first rows that holds most known headings. Missing and double ones are
 * problems; unknown ones are noted and left out.
 */
export function findHeadings<C extends Columns>(
  sheet: SheetCells,
  definition: SheetDefinition<C>,
  found: ProblemList,
): Headings | null {
  const byHeading = columnsByHeading(definition.columns);
  const known = (row: SheetRow) => row.cells.filter(({ content }) => byHeading.has(headingKey(shownValue(content))));
  const candidates = sheet.rows.slice(0, ROWS_SEARCHED);
  const most = Math.max(0, ...candidates.map((row) => known(row).length));
  const row = candidates.find((candidate) => known(candidate).length === most);
  if (!row || most === 0) {
    noHeadings(sheet, definition, found);
    return null;
  }
  const places = placesIn(row, sheet, definition, byHeading, found);
  return { row: row.row, places };
}

function placesIn<C extends Columns>(
  row: SheetRow,
  sheet: SheetCells,
  { columns }: SheetDefinition<C>,
  byHeading: ReadonlyMap<string, string>,
  found: ProblemList,
): ReadonlyMap<string, number> {
  const places = new Map<string, number>();
  const unknown: { shown: string; column: number }[] = [];
  for (const { content, column } of row.cells) {
    const shown = shownValue(content);
    const key = byHeading.get(headingKey(shown));
    if (key === undefined) unknown.push({ shown, column });
    else if (places.has(key)) repeated(sheet, address(column, row.row), shown, places.get(key) ?? 0, found);
    else places.set(key, column);
  }
  const missing = Object.entries(columns).filter(([key]) => !places.has(key));
  const unused = unknown.map(({ shown }) => shown);
  for (const [, { header, fallback }] of missing) {
    if (fallback === null) missingColumn(sheet.name, header, unused, found);
  }
  const missed = missing.map(([, { header }]) => header);
  for (const { shown, column } of unknown) {
    const near = nearestName(shown, missed);
    const hint = near ? ` Did you mean "${near}"?` : '';
    found.note(
      sheet.name,
      address(column, row.row),
      `Column "${shown}" is none Jarfold knows; it was left out.${hint}`,
    );
  }
  return places;
}

export function columnsByHeading(columns: Columns): ReadonlyMap<string, string> {
  return new Map(
    Object.entries(columns).flatMap(([key, { header, alsoCalled }]) =>
      [header, ...alsoCalled].map((heading) => [headingKey(heading), key] as const),
    ),
  );
}

function noHeadings<C extends Columns>(sheet: SheetCells, { columns }: SheetDefinition<C>, found: ProblemList): void {
  const headers = Object.values(columns).filter(({ fallback }) => fallback === null);
  found.add({
    code: 'missing-column',
    sheet: sheet.name,
    cell: sheet.rows.length === 0 ? null : address(1, sheet.rows[0]?.row ?? 1),
    column: null,
    value: null,
    rule: `The sheet has no row of headings among its first ${ROWS_SEARCHED} rows.`,
    advice: `Put these into the first row: ${headers.map(({ header }) => header).join(', ')}.`,
  });
}

function missingColumn(sheet: string, header: string, unused: readonly string[], found: ProblemList): void {
  const near = nearestName(header, unused);
  const advice = near ? `Did you mean "${near}"? Rename it to ${header}.` : `Add a column with the heading ${header}.`;
  const rule = `The sheet has no column ${header}.`;
  found.add({ code: 'missing-column', sheet, cell: null, column: header, value: null, rule, advice });
}

function repeated(sheet: SheetCells, cell: string, shown: string, first: number, found: ProblemList): void {
  found.add({
    code: 'repeated-column',
    sheet: sheet.name,
    cell,
    column: shown,
    value: shown,
    rule: `The heading stands twice, also in column ${columnLetters(first)}.`,
    advice: 'Keep one of the two columns.',
  });
}
