import { type CalendarDay, calendarDay } from '@jarfold/domain';
import type { Column, Columns, SheetDefinition, ValuesOf, WrittenValue } from '../sheets/column.js';
import { farmSettings } from '../sheets/farm-settings.js';
import type { DraftColumn, DraftValue, SheetDraft } from '../writing/sheet-draft.js';
import { writeXlsx } from '../writing/write-xlsx.js';
import { FARM_SHEET, type FarmRows, farmTables } from './farm-workbook.js';

/** Writes a farm workbook that reads back as the same rows. */
export function writeFarmWorkbook(rows: FarmRows): Promise<Buffer> {
  const { strainSheet, sizeSheet, jarSheet, runSheet, roomSheet } = farmTables;
  return writeXlsx(
    [
      farmDraft(rows.farm),
      tableDraft(strainSheet, rows.strains),
      tableDraft(sizeSheet, rows.sizes),
      tableDraft(jarSheet, rows.jars),
      tableDraft(runSheet, rows.runs),
      tableDraft(roomSheet, rows.rooms),
    ],
    'Farm workbook',
  );
}

function farmDraft(values: FarmRows['farm']): SheetDraft {
  const settings = Object.entries(farmSettings as Columns);
  const shown = values as Readonly<Record<string, unknown>>;
  return {
    name: FARM_SHEET,
    title: [],
    columns: [
      { header: 'setting', width: 30, format: '@' },
      { header: 'value', width: 30, format: 'General', align: 'left' },
      { header: 'if left blank', width: 30, format: '@', wrap: true },
      { header: 'meaning', width: 80, format: '@', wrap: true },
    ],
    rows: settings.map(([key, setting]) => [
      setting.header,
      draftValue(setting, shown[key] ?? null),
      setting.fallback ? setting.fallback.shown : 'must be filled',
      setting.meaning,
    ]),
  };
}

function tableDraft<C extends Columns>(
  { name, columns }: SheetDefinition<C>,
  rows: readonly ValuesOf<C>[],
): SheetDraft {
  const all = Object.entries(columns as Columns);
  return {
    name,
    title: [],
    columns: all.map(([key, column]) => draftColumn(column, rows, key)),
    rows: rows.map((row) =>
      all.map(([key, column]) => draftValue(column, (row as Record<string, unknown>)[key] ?? null)),
    ),
  };
}

function draftColumn(column: Column<unknown>, rows: readonly object[], key: string): DraftColumn {
  const { header, kind, meaning, unit, fallback } = column;
  const longest = rows.map((row) => String((row as Record<string, unknown>)[key] ?? '').length);
  const blank = fallback ? `Left blank: ${fallback.shown}.` : 'Must be filled.';
  return {
    header,
    width: Math.min(
      40,
      Math.max(9, ...[...header.split(' ').map((word) => word.length), ...longest].map((length) => length + 3)),
    ),
    format: kind.numberFormat ?? 'General',
    note: [meaning, unit === null ? '' : `In ${unit}.`, blank].filter(Boolean).join(' '),
    ...(kind.words ? { words: kind.words } : {}),
  };
}

function draftValue(column: Column<unknown>, value: unknown): DraftValue {
  return value === null ? null : asDraft(column.kind.write(value));
}

function asDraft(value: WrittenValue): DraftValue {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return typeof value === 'object' ? { day: calendarDay(value.day) satisfies CalendarDay } : value;
}
