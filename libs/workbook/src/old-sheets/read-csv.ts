import type { SheetRow } from '../cells/cell.js';
import type { WorkbookLimits } from '../package/limits.js';
import { unreadable } from '../problem.js';

export type Separator = ',' | ';' | '\t';
const SEPARATORS: readonly Separator[] = [';', '\t', ','];
const LINES_TO_JUDGE_BY = 50;

export interface CsvCells {
  readonly rows: readonly SheetRow[];
  readonly separator: Separator;
}

type CsvLimits = Pick<WorkbookLimits, 'cells' | 'columns' | 'rows' | 'textLength'>;

/**
 * Reads delimited text: cells in quotes may hold separators, line ends and doubled quotes (RFC 4180). The separator is the
 * one a first line `sep=` names, else the one that parts most lines into equally many cells. Every cell is text.
 * @throws UnreadableWorkbook when a limit is passed
 */
export function readCsv(text: string, limits: CsvLimits): CsvCells {
  const named = /^sep=([,;\t])\r?\n/.exec(text);
  const separator = (named?.[1] as Separator | undefined) ?? bestSeparator(text);
  const records = recordsOf(text, separator, limits, Number.POSITIVE_INFINITY);
  const first = named ? 1 : 0;
  const rows = records.slice(first).flatMap((cells, at) => rowOf(cells, at + 1 + first));
  return { rows, separator };
}

function rowOf(texts: readonly string[], row: number): readonly SheetRow[] {
  const cells = texts.flatMap((text, at) =>
    text.trim() === '' ? [] : [{ row, column: at + 1, content: { kind: 'text', text } as const, formula: false }],
  );
  return cells.length === 0 ? [] : [{ row, cells }];
}

/** The separator by which most lines have the same number of cells, more than one. */
function bestSeparator(text: string): Separator {
  const head = text.slice(0, 200_000);
  const limits = { cells: 1_000_000, columns: 100_000, rows: 1_000_000, textLength: 1_000_000 };
  const scores = SEPARATORS.map((separator) => {
    const counts = recordsOf(head, separator, limits, LINES_TO_JUDGE_BY)
      .filter((cells) => cells.some((cell) => cell.trim() !== ''))
      .map(({ length }) => length);
    const usual = mostCommon(counts.filter((count) => count > 1));
    const alike = counts.filter((count) => count === usual).length;
    return { separator, score: usual === 0 ? 0 : alike / counts.length + usual / 10_000 };
  });
  return scores.reduce((best, each) => (each.score > best.score ? each : best)).separator;
}

function mostCommon(counts: readonly number[]): number {
  const times = new Map<number, number>();
  for (const count of counts) times.set(count, (times.get(count) ?? 0) + 1);
  return [...times].reduce((best, each) => (each[1] > best[1] ? each : best), [0, 0] as [number, number])[0];
}

function recordsOf(text: string, separator: Separator, limits: CsvLimits, most: number): string[][] {
  const records: string[][] = [];
  let record: string[] = [];
  let cells = 0;
  let at = 0;
  const endRecord = () => {
    records.push(record);
    record = [];
    if (records.length > limits.rows) throw tooLarge(`${limits.rows} rows`);
  };
  while (at < text.length && records.length < most) {
    const cell = cellAt(text, at, separator);
    record.push(cell.text);
    at = cell.end;
    if (cell.text !== '') cells += 1;
    if (cells > limits.cells) throw tooLarge(`${limits.cells} cells`);
    if (record.length > limits.columns) throw tooLarge(`${limits.columns} columns`);
    if (cell.text.length > limits.textLength) throw tooLarge(`${limits.textLength} characters in a cell`);
    if (text[at] === separator) {
      at += 1;
      // A separator at the very end leaves one blank cell behind it.
      if (at === text.length) record.push('');
    } else {
      endRecord();
      at += text.startsWith('\r\n', at) ? 2 : 1;
    }
  }
  if (record.length > 0) endRecord();
  return records;
}

/** The cell that begins at a place, and where it ends: before a separator or a line end. */
function cellAt(text: string, start: number, separator: Separator): { readonly text: string; readonly end: number } {
  if (text[start] !== '"') return plainCell(text, start, separator);
  let content = '';
  let from = start + 1;
  for (;;) {
    const quote = text.indexOf('"', from);
    if (quote < 0) return plainCell(text, start, separator);
    content += text.slice(from, quote);
    if (text[quote + 1] !== '"') {
      const rest = plainCell(text, quote + 1, separator);
      return { text: content + rest.text, end: rest.end };
    }
    content += '"';
    from = quote + 2;
  }
}

function plainCell(text: string, start: number, separator: Separator) {
  let end = start;
  while (end < text.length && text[end] !== separator && text[end] !== '\n' && text[end] !== '\r') end += 1;
  return { text: text.slice(start, end), end };
}

const tooLarge = (what: string) =>
  unreadable('too-large', `The file has more than ${what}.`, 'Send it in parts, each with its headings.');
