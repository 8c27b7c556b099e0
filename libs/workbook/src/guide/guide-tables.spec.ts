import { readFileSync } from 'node:fs';
import { describe, expect, it } from '@jest/globals';
import { farmTables } from '../farm/farm-workbook.js';
import type { Columns } from '../sheets/column.js';
import { farmSettings } from '../sheets/farm-settings.js';
import { readCell } from '../sheets/read-table.js';
import { withGuideTables } from './guide-tables.js';

const guide = readFileSync(new URL('../../../../docs/workbook.md', import.meta.url), 'utf8');

const columns: readonly Columns[string][] = [
  ...Object.values(farmSettings as Columns),
  ...Object.values(farmTables).flatMap((sheet) => Object.values(sheet.columns as Columns)),
];

describe('the workbook guide', () => {
  it('has the tables the reader and the writer go by (else: node libs/workbook/write-guide.mjs)', () => {
    expect(withGuideTables(guide) === guide).toBe(true);
  });

  it.each(columns.map((column) => [column.header, column] as const))(
    'shows an example for %s that can be read',
    (_, column) => {
      const content = { kind: 'text', text: column.example } as const;
      expect(readCell({ row: 1, column: 1, formula: false, content }, column)).toMatchObject({ ok: true });
    },
  );

  it('says for every default where it comes from', () => {
    expect(columns.filter(({ fallback }) => fallback !== null && fallback.because.trim() === '')).toEqual([]);
  });

  it('names no heading twice on a sheet', () => {
    for (const sheet of [farmSettings, ...Object.values(farmTables).map((table) => table.columns)]) {
      const headings = Object.values(sheet as Columns).flatMap(({ header, alsoCalled }) => [header, ...alsoCalled]);
      expect(new Set(headings).size).toBe(headings.length);
    }
  });
});
