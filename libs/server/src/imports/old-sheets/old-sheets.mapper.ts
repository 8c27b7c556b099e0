import { MOST_ROWS_TOLD, type OldSheetsPreview, type OldSheetsTable } from '@jarfold/contracts';
import { columnName, type FileProblem, type FoundTable, shownContent } from '@jarfold/domain';
import { type FileImportRow, importJson } from '../file-imports.repository.js';
import type { DryRun } from './dry-run.js';
import type { OpenedSheets } from './kept-sheet.js';

const SAMPLE_ROWS = 5;
const MOST_QUESTIONS = 300;

/** A file and its dry run as a person sees them. */
export function previewJson(
  row: FileImportRow,
  {
    tables,
    opened,
    remembered,
  }: { readonly tables: readonly FoundTable[]; readonly opened: OpenedSheets['opened']; readonly remembered: boolean },
  { mapping, understood, settled, made, seen }: DryRun,
): OldSheetsPreview {
  const refused = [...understood.refused, ...settled.refused];
  return {
    ...frame(row),
    text: opened.kind === 'text' ? { encoding: opened.encoding, separator: opened.separator } : null,
    tables: tables.map(tableJson),
    mapping: mapping as OldSheetsPreview['mapping'],
    remembered,
    questions: understood.questions.slice(0, MOST_QUESTIONS).map((question) => ({
      ...question,
      examples: question.examples.map(({ readings, ...example }) => ({ ...example, readings: [...readings] })),
    })),
    counts: {
      lots: settled.lots.length,
      jars: settled.lots.reduce((sum, { jars }) => sum + jars.length, 0),
      runs: settled.runs.length,
      harvests: settled.harvests.length,
      strains: made.strains.length,
      sizes: made.sizes.length,
      rooms: made.rooms.length,
      refused: refused.length,
      already: settled.already.length,
      leftOut: understood.leftOut.length,
    },
    refused: refused.slice(0, MOST_ROWS_TOLD),
    already: settled.already.slice(0, MOST_ROWS_TOLD),
    leftOut: understood.leftOut.slice(0, MOST_ROWS_TOLD),
    workedOut: understood.workedOut,
    problems: [],
    seen,
    canBeMarked: opened.kind === 'workbook' && refused.length > 0,
  };
}

/** A file that cannot be read. */
export function unreadableJson(row: FileImportRow, problem: FileProblem): OldSheetsPreview {
  return { ...frame(row), ...NOTHING, problems: [problem] };
}

const frame = (row: FileImportRow) => ({
  import: importJson(row),
  canBeMarked: false,
  canBeTakenBack: row.state === 'applied',
});

const NOTHING = {
  text: null,
  tables: [],
  mapping: {},
  remembered: false,
  questions: [],
  counts: {
    lots: 0,
    jars: 0,
    runs: 0,
    harvests: 0,
    strains: 0,
    sizes: 0,
    rooms: 0,
    refused: 0,
    already: 0,
    leftOut: 0,
  },
  refused: [],
  already: [],
  leftOut: [],
  workedOut: {},
  seen: '',
};

function tableJson({ key, sheet, hidden, title, headRow, columns, rows }: FoundTable): OldSheetsTable {
  return {
    ...{ key, sheet, hidden, title, headRow },
    rows: rows.length,
    columns: columns.map(({ column, heading }) => ({ column, letters: columnName(column), heading })),
    sample: rows.slice(0, SAMPLE_ROWS).map(({ row, cells }) => ({
      row,
      shows: columns.map(({ column }) => {
        const content = cells.get(column)?.content;
        return content === undefined ? '' : shownContent(content).slice(0, 80);
      }),
    })),
  };
}
