import type { DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { toldOfRows, writeXlsx } from '../writing/write-xlsx.js';
import { zipStream } from '../writing/zip-stream.js';

type Row = Readonly<Record<string, unknown>>;
type Tables = Readonly<Record<string, readonly Row[]>>;

/**
 * Every table a sheet, every column as it is kept.
 * @param onRow told for each row that is written; what it throws ends the writing
 */
export function writeTablesWorkbook(tables: Tables, title: string, onRow: () => void = () => {}): Promise<Buffer> {
  const sheets = Object.entries(tables).map(([name, rows]) => tableSheet(name, rows));
  return writeXlsx(toldOfRows(sheets, onRow), title);
}

function tableSheet(name: string, rows: readonly Row[]): SheetDraft {
  const keys = keysOf(rows);
  return {
    name,
    title: [name],
    columns: (keys.length > 0 ? keys : ['nothing']).map((header) => ({ header, width: 18, format: 'General' })),
    rows: rows.map((row) => keys.map((key) => cellOf(row[key]))),
  };
}

/** A cell holds 32,767 characters; what is longer stands whole in the other two forms. */
const MOST_TEXT = 32_000;

function cellOf(value: unknown): DraftValue {
  if (value === null || value === undefined) return null;
  if (typeof value === 'number') return value;
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text.length > MOST_TEXT ? `${text.slice(0, MOST_TEXT)}…` : text;
}

/** Every table a CSV file (RFC 4180, UTF-8) in one zip. */
export async function writeTablesCsv(tables: Tables, onRow: () => void = () => {}): Promise<Buffer> {
  const parts = Object.entries(tables).map(([name, rows]) => ({
    name: `${name}.csv`,
    text: () => csvLines(rows, onRow),
  }));
  const chunks: Buffer[] = [];
  for await (const chunk of zipStream(parts)) chunks.push(chunk);
  return Buffer.concat(chunks);
}

function* csvLines(rows: readonly Row[], onRow: () => void): Generator<string> {
  const keys = keysOf(rows);
  yield `${keys.map(csvText).join(',')}\r\n`;
  for (const row of rows) {
    onRow();
    yield `${keys.map((key) => csvText(row[key])).join(',')}\r\n`;
  }
}

/**
 * A spreadsheet program runs a text in a CSV file that begins like a formula; an apostrophe in front keeps it text.
 * Numbers are left alone, so that a negative one stays a number.
 */
export function csvText(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number' || typeof value === 'boolean') return String(value);
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  const safe = /^['=+\-@\t\r\0]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

const keysOf = (rows: readonly Row[]): string[] => [...new Set(rows.flatMap((row) => Object.keys(row)))];
