import { createHash } from 'node:crypto';
import type { CellValues, FileUnits, WeeklyBook } from '@jarfold/domain';
import type { SheetDraft } from '../writing/sheet-draft.js';

/** Names the kind of file and its version: a later version may add columns, but reads this one. */
export const WEEKLY_FORMAT = 'jarfold-weekly/1';
export const MANIFEST_SHEET = 'Do not change';
const HEADINGS = ['What', 'Key', 'Revision', 'Value'] as const;
export const MANIFEST_HEADINGS: readonly string[] = HEADINGS;

/** What the hidden sheet says about the file: whose it is, and what every row said when it was given out. */
export interface WeeklyManifest {
  readonly format: string;
  readonly growerId: string;
  readonly farmName: string;
  readonly exportId: string;
  readonly madeAt: string;
  readonly units: FileUnits;
  readonly runs: readonly { readonly key: string; readonly revision: number; readonly cells: CellValues }[];
}

/** One line of the hidden sheet. */
export type ManifestLine = readonly [what: string, key: string, revision: number | null, value: string];

export function manifestLines(manifest: WeeklyManifest): ManifestLine[] {
  const { format, growerId, farmName, exportId, madeAt, units, runs } = manifest;
  const lines: ManifestLine[] = [
    ['file', 'format', null, format],
    ['file', 'grower', null, growerId],
    ['file', 'farm', null, farmName],
    ['file', 'export', null, exportId],
    ['file', 'made at', null, madeAt],
    ['file', 'units', null, JSON.stringify(units)],
    ...runs.map(({ key, revision, cells }): ManifestLine => ['bulk run', key, revision, JSON.stringify(cells)]),
  ];
  return [...lines, ['file', 'check', null, manifestCheck(lines)]];
}

/** SHA-256, hex, over all other lines in the order of their keys: an edited or cut sheet no longer fits. */
export function manifestCheck(lines: readonly ManifestLine[]): string {
  const text = lines.map((line) => JSON.stringify(line)).sort();
  return createHash('sha256').update(text.join('\n')).digest('hex');
}

export function manifestOf(book: WeeklyBook): WeeklyManifest {
  const { growerId, farmName, exportId, madeAt, units, runs } = book;
  return {
    ...{ format: WEEKLY_FORMAT, growerId, farmName, exportId, madeAt, units },
    runs: runs.map(({ key, revision, cells }) => ({ key, revision, cells })),
  };
}

export function manifestSheet(manifest: WeeklyManifest): SheetDraft {
  const widths = [12, 38, 9, 90];
  return {
    name: MANIFEST_SHEET,
    hidden: 'hidden',
    title: ['Jarfold compares a returned workbook with this sheet. Leave it as it is.'],
    columns: HEADINGS.map((header, at) => ({
      header,
      width: widths[at] ?? 12,
      format: header === 'Revision' ? '0' : '@',
    })),
    rows: manifestLines(manifest),
  };
}
