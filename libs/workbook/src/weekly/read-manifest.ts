import type { CellValues, FileUnits } from '@jarfold/domain';
import { z } from 'zod';
import type { SheetCells, WorkbookCells } from '../cells/cell.js';
import { type UnreadableWorkbook, unreadable } from '../problem.js';
import { shownValue } from '../sheets/cell-text.js';
import { MANIFEST_HEADINGS, type ManifestLine, manifestCheck, WEEKLY_FORMAT, type WeeklyManifest } from './manifest.js';

const FRESH = 'Download a fresh workbook and copy your changes into it.';

const cellsSchema = z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()]));
const unitsSchema = z.object({
  massUnit: z.enum(['metric', 'us']),
  temperatureUnit: z.enum(['celsius', 'fahrenheit']),
  weekStartsOn: z.number().int().min(1).max(7),
  dayStyle: z.enum(['iso', 'day-first', 'month-first']),
});

/**
 * Finds the hidden sheet by what it holds, since a person may have renamed it.
 * @throws UnreadableWorkbook when it is missing, was changed, or is of a version this does not know
 */
export function readManifest(workbook: WorkbookCells): { readonly manifest: WeeklyManifest; readonly sheet: string } {
  const found = workbook.sheets
    .map((sheet) => ({ sheet, lines: linesOf(sheet) }))
    .find(({ lines }) => lines.length > 0);
  if (!found) {
    throw unreadable(
      'missing-sheet',
      'The file has no hidden sheet of Jarfold, so it cannot be told what was changed in it.',
      'Send back the workbook as it was downloaded, with your changes; or bring it in as records of your own.',
    );
  }
  return { manifest: manifestFrom(found.lines), sheet: found.sheet.name };
}

function linesOf({ rows }: SheetCells): ManifestLine[] {
  const head = rows.findIndex(
    ({ cells }) =>
      cells
        .slice(0, 4)
        .map(({ content }) => shownValue(content))
        .join('|') === MANIFEST_HEADINGS.join('|'),
  );
  if (head < 0) return [];
  return rows.slice(head + 1).map(({ cells }): ManifestLine => {
    const at = (column: number) => cells.find((cell) => cell.column === column)?.content;
    const text = (column: number) => {
      const content = at(column);
      return content === undefined ? '' : content.kind === 'text' ? content.text : shownValue(content);
    };
    const revision = at(3);
    return [text(1), text(2), revision?.kind === 'number' ? revision.number : null, text(4)];
  });
}

function manifestFrom(lines: readonly ManifestLine[]): WeeklyManifest {
  const fact = (key: string) => lines.find(([what, name]) => what === 'file' && name === key)?.[3] ?? '';
  const format = fact('format');
  if (format !== WEEKLY_FORMAT) throw otherFormat(format);
  const checked = lines.filter(([what, key]) => !(what === 'file' && key === 'check'));
  if (manifestCheck(checked) !== fact('check')) throw changed();
  try {
    return {
      format,
      growerId: fact('grower'),
      farmName: fact('farm'),
      exportId: fact('export'),
      madeAt: fact('made at'),
      units: unitsSchema.parse(JSON.parse(fact('units'))) satisfies FileUnits,
      runs: checked
        .filter(([what]) => what === 'bulk run')
        .map(([, key, revision, value]) => ({
          ...{ key, revision: revision ?? 0 },
          cells: cellsSchema.parse(JSON.parse(value)) satisfies CellValues,
        })),
    };
  } catch {
    throw changed();
  }
}

function otherFormat(format: string): UnreadableWorkbook {
  return unreadable(
    'contradiction',
    `The workbook is of the kind "${format}", which this Jarfold does not know; it knows ${WEEKLY_FORMAT}.`,
    FRESH,
  );
}

const changed = (): UnreadableWorkbook =>
  unreadable('contradiction', 'The hidden sheet of Jarfold was changed, so the file cannot be trusted.', FRESH);
