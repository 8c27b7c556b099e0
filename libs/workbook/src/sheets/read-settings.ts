import { address } from '../cells/address.js';
import type { Cell, SheetCells, SheetRow } from '../cells/cell.js';
import { shownValue } from './cell-text.js';
import { headingKey } from './clean-text.js';
import type { Column, Columns, ValuesOf } from './column.js';
import { columnsByHeading } from './headings.js';
import { nearestName } from './nearest-name.js';
import type { ProblemList } from './problem-list.js';
import { isBlank, readCell } from './read-table.js';

const ROWS_SEARCHED = 30;

/** Settings as read: null where a setting is missing or blank; `unreadable` where it was refused and reported. */
export interface Settings<C extends Columns> {
  readonly values: ValuesOf<C>;
  readonly unreadable: ReadonlySet<keyof C>;
}

interface SettingCell {
  readonly name: Cell;
  readonly value: Cell | null;
  readonly place: string;
}

/** Reads a sheet of settings: the name in one column, the value in the one headed "value" or right of it. */
export function readSettings<C extends Columns>(sheet: SheetCells, settings: C, found: ProblemList): Settings<C> {
  const byHeading = columnsByHeading(settings);
  const cells = new Map<string, SettingCell[]>();
  for (const cell of settingCells(sheet, byHeading)) {
    const key = byHeading.get(headingKey(shownValue(cell.name.content)));
    if (key === undefined) noteUnknown(sheet.name, cell, settings, found);
    else cells.set(key, [...(cells.get(key) ?? []), cell]);
  }
  const unreadable = new Set<keyof C>();
  const values = Object.entries(settings).map(([key, setting]) => {
    const value = settingValue(sheet.name, setting, cells.get(key) ?? [], found);
    if (value === undefined) unreadable.add(key);
    return [key, value ?? null] as const;
  });
  return { values: Object.fromEntries(values) as ValuesOf<C>, unreadable };
}

function settingCells(sheet: SheetCells, byHeading: ReadonlyMap<string, string>): readonly SettingCell[] {
  const { nameColumn, valueColumn, below } = settingColumns(sheet, byHeading);
  return sheet.rows
    .filter(({ row }) => row > below)
    .flatMap(({ row, cells }) => {
      const name = cells.find(({ column }) => column === nameColumn);
      const value = cells.find(({ column }) => column === valueColumn);
      if (!name || isBlank(name.content)) return [];
      return [{ name, value: value && !isBlank(value.content) ? value : null, place: address(valueColumn, row) }];
    });
}

/** Below the headings "setting" and "value"; without them, the first column that holds a known setting. */
function settingColumns(sheet: SheetCells, byHeading: ReadonlyMap<string, string>) {
  const rows = sheet.rows.slice(0, ROWS_SEARCHED);
  const headed = (row: SheetRow, heading: string) =>
    row.cells.find(({ content }) => headingKey(shownValue(content)) === heading)?.column;
  for (const row of rows) {
    const nameColumn = headed(row, 'setting');
    const valueColumn = headed(row, 'value');
    if (nameColumn !== undefined && valueColumn !== undefined) return { nameColumn, valueColumn, below: row.row };
  }
  const first = rows
    .flatMap(({ cells }) => cells)
    .find(({ content }) => byHeading.has(headingKey(shownValue(content))));
  const nameColumn = first?.column ?? 1;
  return { nameColumn, valueColumn: nameColumn + 1, below: 0 };
}

function settingValue<T>(
  sheet: string,
  setting: Column<T>,
  cells: readonly SettingCell[],
  found: ProblemList,
): T | null | undefined {
  const filled = cells.filter((cell) => cell.value !== null);
  const [first, second] = filled;
  if (!first?.value) return setting.fallback !== null ? null : missing(sheet, setting, cells[0] ?? null, found);
  const readings = filled.map((cell) => readSetting(sheet, setting, cell, found));
  if (readings.some((reading) => reading === undefined)) return undefined;
  if (!second) return readings[0];
  if (readings.every((reading) => Array.isArray(reading))) return readings.flat() as T;
  const rule = `The setting stands twice, also in ${first.place}.`;
  const value = second.value && shownValue(second.value.content);
  const advice = 'Keep one of the two rows.';
  found.add({ code: 'repeated-setting', sheet, cell: second.place, column: setting.header, value, rule, advice });
  return undefined;
}

function readSetting<T>(sheet: string, setting: Column<T>, { value, place }: SettingCell, found: ProblemList) {
  if (!value) return undefined;
  const reading = readCell(value, setting);
  if (reading.ok) return reading.value;
  const { code, rule, advice } = reading;
  const shown = shownValue(value.content);
  found.add({ code, sheet, cell: place, column: setting.header, value: shown, rule, advice });
  return undefined;
}

function missing<T>(sheet: string, { header }: Column<T>, cell: SettingCell | null, found: ProblemList): undefined {
  found.add({
    code: 'missing-value',
    sheet,
    cell: cell?.place ?? null,
    column: header,
    value: null,
    rule: cell ? `The setting ${header} is blank and must be filled.` : `The sheet has no setting ${header}.`,
    advice: cell ? 'Fill it in.' : `Add a row with ${header} in the first column and its value in the second.`,
  });
}

function noteUnknown(sheet: string, { name }: SettingCell, settings: Columns, found: ProblemList): void {
  const shown = shownValue(name.content);
  const near = nearestName(
    shown,
    Object.values(settings).map(({ header }) => header),
  );
  const hint = near ? ` Did you mean "${near}"?` : '';
  const place = address(name.column, name.row);
  found.note(sheet, place, `Setting "${shown}" is none Jarfold knows; it was left out.${hint}`);
}
