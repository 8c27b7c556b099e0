import { FARM_SHEET, farmTables } from '../farm/farm-workbook.js';
import type { Column, Columns } from '../sheets/column.js';
import { farmSettings } from '../sheets/farm-settings.js';

/**
 * The tables of the workbook guide (docs/workbook.md), one for each sheet, made from the same definitions the reader
 * and the writer go by.
 */
export function guideTables(): ReadonlyMap<string, string> {
  const { strainSheet, sizeSheet, jarSheet, runSheet, roomSheet } = farmTables;
  const sheets = [strainSheet, sizeSheet, jarSheet, runSheet, roomSheet];
  return new Map([
    [FARM_SHEET, markdownTable('setting', farmSettings)],
    ...sheets.map(({ name, columns }) => [name, markdownTable('column', columns)] as const),
  ]);
}

function markdownTable(what: string, columns: Columns): string {
  const rows = Object.values(columns).map(markdownRow);
  return [
    `| ${what} | meaning | value | if left blank | where that comes from | example |`,
    '|---|---|---|---|---|---|',
    ...rows,
  ].join('\n');
}

function markdownRow({ header, alsoCalled, meaning, kind, unit, fallback, example }: Column<unknown>): string {
  const also = alsoCalled.length > 0 ? ` (also: ${alsoCalled.join(', ')})` : '';
  const value = unit === null ? kind.name : `${kind.name}; ${unit}`;
  const cells = [
    `**${header}**${also}`,
    meaning,
    value,
    fallback ? fallback.shown : '**must be filled**',
    fallback ? fallback.because : '',
    `\`${example}\``,
  ];
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

const start = (sheet: string) => `<!-- table: ${sheet} -->`;
const END = '<!-- end of table -->';

/** Puts the tables between their marks; a mark without a table, or a table without a mark, is an error. */
export function withGuideTables(guide: string): string {
  let filled = guide;
  for (const [sheet, table] of guideTables()) {
    const from = filled.indexOf(start(sheet));
    const to = filled.indexOf(END, from);
    if (from < 0 || to < 0) throw new Error(`The guide has no place for the table of the sheet ${sheet}.`);
    filled = `${filled.slice(0, from)}${start(sheet)}\n\n${table}\n\n${filled.slice(to)}`;
  }
  return filled;
}
