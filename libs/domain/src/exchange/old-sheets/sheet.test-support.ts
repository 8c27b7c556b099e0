import { calendarDay } from '../../calendar/calendar-day.js';
import type { FarmFacts } from './sheet-mapping.js';
import type { MergedCells, WrittenContent, WrittenSheet } from './written-file.js';

type Value = string | number | boolean | null | { readonly day: string } | { readonly formula: number };

/** A sheet as it would be read: rows of plain values, from row 1 on; null is a blank cell. */
export function sheetOf(
  rows: readonly (readonly Value[])[],
  merged: readonly MergedCells[] = [],
  name = 'Sheet1',
): WrittenSheet {
  return {
    ...{ name, hidden: false, merged },
    rows: rows.flatMap((values, at) => {
      const cells = values.flatMap((value, column) => {
        const formula = typeof value === 'object' && value !== null && 'formula' in value;
        return value === null ? [] : [{ row: at + 1, column: column + 1, content: contentOf(value), formula }];
      });
      return cells.length === 0 ? [] : [{ row: at + 1, cells }];
    }),
  };
}

function contentOf(value: Exclude<Value, null>): WrittenContent {
  if (typeof value === 'string') return { kind: 'text', text: value };
  if (typeof value === 'number') return { kind: 'number', number: value, percent: false };
  if (typeof value === 'boolean') return { kind: 'boolean', value };
  if ('formula' in value) return { kind: 'number', number: value.formula, percent: false };
  return { kind: 'day', day: calendarDay(value.day), shown: value.day };
}

export const someFarm: FarmFacts = {
  today: calendarDay('2026-11-25'),
  strains: [
    { id: 'strain-1', code: 'BO1', name: 'Blue oyster', daysToRipe: 14 },
    { id: 'strain-2', code: 'SH1', name: 'Shiitake', daysToRipe: 30 },
  ],
  sizes: [{ id: 'size-1', name: 'Litre jar', volumeMl: 1000, container: 'jar', carrier: 'grain' }],
  shelves: [
    { id: 'shelf-1', room: 'Warm room', shelf: 'A' },
    { id: 'shelf-2', room: 'Cold room', shelf: 'C' },
  ],
  runs: [{ id: 'run-1', name: 'Straw 12', day: calendarDay('2026-10-01') }],
  daysToRipeOf: () => 21,
};
