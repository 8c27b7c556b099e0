import { cellText } from '../cell-text.js';
import { guessColumns, headingKey } from './guess-columns.js';
import { type FoundColumn, headingRows } from './heading-rows.js';
import {
  columnName,
  shownContent,
  type WrittenCell,
  type WrittenFile,
  type WrittenRow,
  type WrittenSheet,
} from './written-file.js';

export interface FoundRow {
  readonly row: number;
  readonly cells: ReadonlyMap<number, WrittenCell>;
}

/** A row inside a table that is no record of it. */
export interface LeftOutRow {
  readonly row: number;
  readonly why: 'total' | 'repeated-headings' | 'line-of-text';
  readonly shows: string;
}

/** A table as it stands on a sheet. */
export interface FoundTable {
  /** Number of the sheet and of the table on it, such as `1.2`. */
  readonly key: string;
  readonly sheet: string;
  readonly hidden: boolean;
  /** What stands above it, such as a title. */
  readonly title: string | null;
  readonly headRow: number;
  readonly columns: readonly FoundColumn[];
  readonly rows: readonly FoundRow[];
  readonly leftOut: readonly LeftOutRow[];
}

/**
 * Finds the tables of a file: on every sheet, one below or beside the other, with headings in one row or two, also
 * merged; blank rows and titles between. Totals, repeated headings and lines of text are no records and are told.
 */
export function findTables({ sheets }: WrittenFile): readonly FoundTable[] {
  return sheets.flatMap((sheet, at) =>
    bandsOf(sheet)
      .flatMap((band) => tablesIn(sheet, band))
      .map((table, number) => ({ key: `${at + 1}.${number + 1}`, sheet: sheet.name, hidden: sheet.hidden, ...table })),
  );
}

interface Band {
  readonly first: number;
  readonly last: number;
}

/** Stretches of columns between columns that are blank all the way down. Such a column parts two tables only when each has headings of its own. */
function bandsOf(sheet: WrittenSheet): readonly Band[] {
  const used = [...new Set(sheet.rows.flatMap(({ cells }) => cells.map(({ column }) => column)))].sort((a, b) => a - b);
  const stretches: Band[] = [];
  for (const column of used) {
    const last = stretches.at(-1);
    if (last && column === last.last + 1) stretches[stretches.length - 1] = { ...last, last: column };
    else stretches.push({ first: column, last: column });
  }
  return stretches.reduce<Band[]>((bands, band) => {
    const before = bands.at(-1);
    if (before && !partsTables(sheet, before, band)) bands[bands.length - 1] = { first: before.first, last: band.last };
    else bands.push(band);
    return bands;
  }, []);
}

function partsTables(sheet: WrittenSheet, left: Band, right: Band): boolean {
  const [one] = tablesIn(sheet, left);
  const [other] = tablesIn(sheet, right);
  if (!one || !other) return false;
  const fields = (columns: readonly FoundColumn[]) => [...guessColumns(columns).fields.values()];
  const known = new Set(fields(one.columns));
  return (
    fields(other.columns).length >= 2 &&
    (one.headRow !== other.headRow || fields(other.columns).some((field) => known.has(field)))
  );
}

type TableInBand = Omit<FoundTable, 'key' | 'sheet' | 'hidden'>;

interface OpenTable {
  readonly title: string | null;
  readonly headRow: number;
  readonly columns: readonly FoundColumn[];
  readonly rows: FoundRow[];
  readonly leftOut: LeftOutRow[];
}

function tablesIn(sheet: WrittenSheet, band: Band): readonly TableInBand[] {
  const rows = filledDownwards(sheet, band);
  const tables: OpenTable[] = [];
  let title: string | null = null;
  for (let at = 0; at < rows.length; at += 1) {
    const row = rows[at]!;
    const open = tables.at(-1);
    const headings = headingRows(sheet, rows, at, open === undefined);
    if (open && isRepeat(headings?.columns ?? null, open)) {
      open.leftOut.push(leftOut(row, 'repeated-headings'));
      at += headings!.rows - 1;
      title = null;
    } else if (headings) {
      if (open && title !== null) open.leftOut.pop(); // the last line of text was a title
      tables.push({ title, headRow: row.row, columns: headings.columns, rows: [], leftOut: [] });
      at += headings.rows - 1;
      title = null;
    } else if (open) title = addRow(open, row);
    else title = textOf(row);
  }
  return tables.filter((table) => table.rows.length > 0).map(withEveryColumn);
}

/** Cells merged downwards mean their value for each row. */
function filledDownwards({ rows, merged }: WrittenSheet, { first, last }: Band): readonly WrittenRow[] {
  const downwards = merged.filter(({ top, bottom, left }) => bottom > top && left >= first && left <= last);
  const within = rows.map(({ row, cells }) => ({
    row,
    cells: cells.filter(({ column }) => column >= first && column <= last),
  }));
  const origins = new Map(
    within.flatMap(({ cells }) => cells.map((cell) => [`${cell.row}/${cell.column}`, cell] as const)),
  );
  return within
    .map(({ row, cells }) => {
      const covered = downwards.filter(({ top, bottom }) => row > top && row <= bottom);
      const filled = covered.flatMap(({ top, left }) => {
        const origin = origins.get(`${top}/${left}`);
        return origin === undefined || cells.some(({ column }) => column === left) ? [] : [{ ...origin, row }];
      });
      return { row, cells: [...cells, ...filled].sort((a, b) => a.column - b.column) };
    })
    .filter(({ cells }) => cells.length > 0);
}

function isRepeat(columns: readonly FoundColumn[] | null, open: OpenTable): boolean {
  if (columns === null) return false;
  const key = (each: readonly FoundColumn[]) =>
    each.map(({ column, heading }) => `${column}:${headingKey(heading)}`).join('|');
  return key(columns) === key(open.columns);
}

/** @returns the text of a line that may be the title of the next table; null otherwise */
function addRow(open: OpenTable, row: WrittenRow): string | null {
  const inTable = row.cells.filter(({ column }) => column >= open.columns[0]!.column);
  if (isTotal(row)) open.leftOut.push(leftOut(row, 'total'));
  else if (inTable.length === 1 && open.columns.length >= 3 && row.cells[0]!.content.kind === 'text') {
    open.leftOut.push(leftOut(row, 'line-of-text'));
    return textOf(row);
  } else open.rows.push({ row: row.row, cells: new Map(row.cells.map((cell) => [cell.column, cell])) });
  return null;
}

const TOTAL =
  /^((grand |sub)?-?totals?|sum|average|mean|count|summe|gesamt|gesamtsumme|insgesamt|zwischensumme|durchschnitt|somme|totale|total général|moyenne|suma|promedio)\b[^\p{L}]*(\p{L}+ ?){0,2}:?$/iu;

/** A row that adds up others: it says so, and holds nothing but numbers besides; or it is formulas and nothing else. */
function isTotal({ cells }: WrittenRow): boolean {
  const [first, ...rest] = cells;
  const numbers = (each: readonly WrittenCell[]) =>
    each.every(({ content }) => content.kind === 'number' || content.kind === 'uncomputed');
  if (first?.content.kind === 'text' && TOTAL.test(cellText(first.content.text)))
    return rest.length > 0 && rest.every(countsOnly);
  return cells.length > 0 && cells.length <= 3 && numbers(cells) && cells.every(({ formula }) => formula);
}

const countsOnly = ({ content }: WrittenCell): boolean =>
  content.kind === 'number' ||
  content.kind === 'uncomputed' ||
  (content.kind === 'text' && /^[\d.,%\s]*(\p{L}{0,3})$/u.test(content.text));

const leftOut = (row: WrittenRow, why: LeftOutRow['why']): LeftOutRow => ({ row: row.row, why, shows: textOf(row) });

const textOf = ({ cells }: WrittenRow): string =>
  cells
    .map(({ content }) => cellText(shownContent(content)))
    .join(' · ')
    .slice(0, 200);

/** Columns that hold something under no heading are columns too. */
function withEveryColumn(table: OpenTable): TableInBand {
  const headed = new Set(table.columns.map(({ column }) => column));
  const bare = new Set(table.rows.flatMap(({ cells }) => [...cells.keys()]).filter((column) => !headed.has(column)));
  const columns = [
    ...table.columns,
    ...[...bare].map((column) => ({ column, heading: `Column ${columnName(column)}` })),
  ];
  return { ...table, columns: columns.sort((a, b) => a.column - b.column) };
}
