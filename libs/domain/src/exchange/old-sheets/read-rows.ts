import type { CalendarDay } from '../../calendar/calendar-day.js';
import { cellText } from '../cell-text.js';
import type { FileProblem } from '../returned-book.js';
import type { FoundRow, FoundTable } from './find-tables.js';
import { type CellReading, readField } from './read-cells.js';
import { fieldSpec, fieldsOf, type SheetField, type TableUse } from './sheet-fields.js';
import type { SheetQuestion, TableMapping, WordField, WordMeaning } from './sheet-mapping.js';
import { wordKey } from './word-meanings.js';
import { cellName, shownContent, type WrittenContent } from './written-file.js';

/** One row of a table, read: what it says by field, and what keeps it out. */
export interface ReadRow {
  readonly table: FoundTable;
  readonly row: number;
  readonly values: ReadonlyMap<SheetField, string | number>;
  /** Where each value stands. */
  readonly cells: ReadonlyMap<SheetField, string>;
  /** Words of columns kept as notes, each with its heading. */
  readonly notes: readonly string[];
  readonly problems: readonly FileProblem[];
  /** A question is open about this row: it says nothing yet. */
  readonly waiting: boolean;
}

export interface ReadTable {
  readonly rows: readonly ReadRow[];
  readonly questions: readonly SheetQuestion[];
}

const EXAMPLES = 3;

/** Reads every row of a table as its mapping says, and gathers what is still to be asked. */
export function readRows(table: FoundTable, mapping: TableMapping & { readonly use: TableUse }): ReadTable {
  const questions = new QuestionList(table);
  const missing = missingFields(mapping);
  for (const field of missing) questions.ask('missing-field', field, null, table.rows.length, null);
  const rows = table.rows.map((row) => readRow(row, table, mapping, questions));
  return { rows: missing.length > 0 ? rows.map((row) => ({ ...row, waiting: true })) : rows, questions: questions.all };
}

/** Required fields with neither a column nor a value for all rows. */
function missingFields({ use, columns, forAllRows }: TableMapping & { readonly use: TableUse }): readonly SheetField[] {
  const mapped = new Set(Object.values(columns));
  return Object.entries(fieldsOf[use])
    .filter(([field, { required }]) => required && !mapped.has(field as SheetField) && !forAllRows[field as SheetField])
    .map(([field]) => field as SheetField)
    .filter((field) => !(field === 'madeOn' && mapped.has('ripeOn')));
}

function readRow(
  row: FoundRow,
  table: FoundTable,
  mapping: TableMapping & { readonly use: TableUse },
  questions: QuestionList,
): ReadRow {
  const values = new Map<SheetField, string | number>();
  const cells = new Map<SheetField, string>();
  const notes: string[] = [];
  const problems: FileProblem[] = [];
  const open = new Set<SheetField>();
  for (const { column, heading } of table.columns) {
    const field = mapping.columns[String(column)];
    if (field === undefined || field === 'leave-out') continue;
    const spec = fieldSpec(mapping.use, field);
    const content = row.cells.get(column)?.content;
    if (spec === undefined || content === undefined || isDash(content)) continue;
    const cell = cellName(column, row.row);
    if (field === 'note') {
      notes.push(noteOf(heading, content));
      continue;
    }
    const reading = readField(content, field, spec, mapping);
    if (reading.is === 'read') {
      values.set(field, reading.value);
      cells.set(field, cell);
    } else if (reading.is === 'open') {
      open.add(field);
      questions.ask(reading.about, field, null, 1, { cell, shows: shownContent(content), readings: reading.readings });
    } else problems.push(problem(table, { cell, heading, content }, reading));
  }
  const filled = withForAllRows(values, open, mapping, row.row, table, problems);
  const blank = blankRequired(filled, open, row.row, table, mapping, problems);
  return {
    table,
    row: row.row,
    values: filled,
    cells,
    notes,
    problems: [...problems, ...blank],
    waiting: open.size > 0,
  };
}

const isDash = (content: WrittenContent): boolean =>
  content.kind === 'text' && /^[-–—.?]?$/.test(cellText(content.text));

const noteOf = (heading: string, content: WrittenContent): string => {
  const text = cellText(shownContent(content));
  return /^(notes?|remarks?|comments?)$/i.test(heading) ? text : `${heading}: ${text}`;
};

function problem(
  { sheet }: FoundTable,
  { cell, heading, content }: { cell: string; heading: string; content: WrittenContent },
  { code, rule, advice }: Extract<CellReading<unknown>, { is: 'refused' }>,
): FileProblem {
  return { code, sheet, cell, column: heading, value: shownContent(content).slice(0, 200), rule, advice };
}

/** Fields a row leaves blank take what was said for all rows. */
function withForAllRows(
  values: ReadonlyMap<SheetField, string | number>,
  open: ReadonlySet<SheetField>,
  { use, forAllRows, ...answers }: TableMapping & { readonly use: TableUse },
  row: number,
  { sheet, columns }: FoundTable,
  problems: FileProblem[],
): Map<SheetField, string | number> {
  const filled = new Map(values);
  for (const [name, text] of Object.entries(forAllRows)) {
    const field = name as SheetField;
    const spec = fieldSpec(use, field);
    if (
      spec === undefined ||
      filled.has(field) ||
      open.has(field) ||
      text === '' ||
      problems.some(({ column }) => column === field)
    )
      continue;
    const reading = readField({ kind: 'text', text }, field, spec, answers);
    if (reading.is === 'read') filled.set(field, reading.value);
    else {
      const rule = reading.is === 'refused' ? reading.rule : 'What was said for all rows can be read in several ways.';
      problems.push({
        code: 'not-a-value',
        sheet,
        cell: cellName(columns[0]?.column ?? 1, row),
        column: field,
        value: text,
        rule,
        advice: 'Say it again for all rows.',
      });
    }
  }
  return filled;
}

function blankRequired(
  values: ReadonlyMap<SheetField, string | number>,
  open: ReadonlySet<SheetField>,
  row: number,
  table: FoundTable,
  { use, columns }: TableMapping & { readonly use: TableUse },
  problems: readonly FileProblem[],
): readonly FileProblem[] {
  const blank = Object.entries(fieldsOf[use]).filter(
    ([field, { required }]) => required && !values.has(field as SheetField) && !open.has(field as SheetField),
  );
  return blank.flatMap(([field]) => {
    const column = table.columns.find((each) => columns[String(each.column)] === field);
    if (column === undefined || (field === 'madeOn' && values.has('ripeOn'))) return [];
    const cell = cellName(column.column, row);
    if (problems.some((each) => each.cell === cell)) return [];
    const rule = 'The cell is blank, and a row needs this.';
    return [
      {
        code: 'missing-value',
        sheet: table.sheet,
        cell,
        column: column.heading,
        value: null,
        rule,
        advice: 'Fill it in, or say below what counts for all rows that leave it blank.',
      },
    ];
  });
}

/** Gathers questions: one for each thing to be asked, with a few of the cells it comes from. */
export class QuestionList {
  readonly #table: FoundTable;
  readonly #asked = new Map<string, { -readonly [K in keyof SheetQuestion]: SheetQuestion[K] }>();

  constructor(table: FoundTable) {
    this.#table = table;
  }

  get all(): readonly SheetQuestion[] {
    return [...this.#asked.values()];
  }

  ask(
    about: SheetQuestion['about'],
    field: SheetField | null,
    word: string | null,
    rows: number,
    example: SheetQuestion['examples'][number] | null,
    suggestion: string | null = null,
  ): void {
    // How days and numbers are written is one question for the whole table; a unit is one for each column.
    const ofColumn = about === 'unit' || about === 'word' || about === 'missing-field';
    const key = `${about}/${ofColumn ? field : ''}/${word === null ? '' : wordKey(word)}`;
    const before = this.#asked.get(key);
    const examples = before?.examples ?? [];
    this.#asked.set(key, {
      table: this.#table.key,
      about,
      field: ofColumn ? field : null,
      word,
      rows: (before?.rows ?? 0) + rows,
      examples: example && examples.length < EXAMPLES ? [...examples, example] : examples,
      suggestion: before?.suggestion ?? suggestion,
    });
  }
}

/** What a row's word stands for, as the mapping says; undefined while nobody has said. */
export function meaningOf(mapping: TableMapping, field: WordField, word: string): WordMeaning | undefined {
  const meanings = mapping.words[field] ?? {};
  const key = wordKey(word);
  // A farm's word may be one that every object has, such as "constructor".
  return Object.hasOwn(meanings, key) ? meanings[key] : undefined;
}

export const textValue = (row: ReadRow, field: SheetField): string | null => {
  const value = row.values.get(field);
  return value === undefined ? null : String(value);
};
export const numberValue = (row: ReadRow, field: SheetField): number | null => {
  const value = row.values.get(field);
  return typeof value === 'number' ? value : null;
};
export const dayValue = (row: ReadRow, field: SheetField): CalendarDay | null =>
  (textValue(row, field) as CalendarDay | null) ?? null;

/** Where a row says something of a field; the row's first cell when it was said for all rows. */
export const cellOf = ({ table, row, cells }: ReadRow, field: SheetField): string =>
  cells.get(field) ?? cellName(table.columns[0]?.column ?? 1, row);

/** A refusal of a row for what it says, at the cell of one of its fields. */
export function rowProblem(row: ReadRow, field: SheetField, code: string, rule: string, advice: string): FileProblem {
  const { sheet } = row.table;
  return {
    code,
    sheet,
    cell: cellOf(row, field),
    column: field,
    value: textValue(row, field),
    rule,
    advice,
  };
}
