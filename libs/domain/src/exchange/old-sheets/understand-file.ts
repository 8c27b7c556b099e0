import type { FileProblem } from '../returned-book.js';
import type { FoundTable, LeftOutRow } from './find-tables.js';
import { runsInFile } from './guess-mapping.js';
import { type JarRecord, jarRecord, type RecordOf } from './jar-records.js';
import { cellOf, meaningOf, QuestionList, type ReadRow, readRows, textValue } from './read-rows.js';
import { type HarvestRecord, harvestRecord, type RunRecord, runRecord } from './run-records.js';
import { fieldSpec, type SheetField, type TableUse } from './sheet-fields.js';
import {
  type FarmFacts,
  type SheetMapping,
  type SheetQuestion,
  type TableMapping,
  wordFields,
} from './sheet-mapping.js';
import { likelyMeaning, wordKey } from './word-meanings.js';
import { dayOrders, dayReadings } from './written-day.js';
import { numberReadings } from './written-number.js';

/** A row that is not brought in and is no mistake: a total, a line of text, or one the farm leaves out. */
export interface RowLeftOut {
  readonly sheet: string;
  readonly row: number;
  readonly why: LeftOutRow['why'] | 'word-left-out';
  readonly shows: string;
}

/** A farm's file, read as its mapping says. */
export interface UnderstoodFile {
  readonly jars: readonly JarRecord[];
  readonly runs: readonly RunRecord[];
  readonly harvests: readonly HarvestRecord[];
  readonly questions: readonly SheetQuestion[];
  readonly refused: readonly FileProblem[];
  readonly leftOut: readonly RowLeftOut[];
  /** How often a day that nobody wrote was worked out, by the rule that was used. */
  readonly workedOut: Readonly<Record<string, number>>;
}

/** Reads every table of a file in one pass: records, open questions, and what is refused with its cell and reason. */
export function understandFile(tables: readonly FoundTable[], mapping: SheetMapping, farm: FarmFacts): UnderstoodFile {
  const file = new FileDraft();
  const names = runsInFile(tables, mapping);
  for (const table of tables) {
    const of = mapping[table.key];
    if (of === undefined || of.use === 'leave-out') continue;
    const used = { ...of, use: of.use };
    const { rows, questions } = readRows(table, used);
    file.questions.push(...questions.map((question) => withSuggestion(question, table, used)));
    file.questions.push(...askedWords(table, rows, used, farm));
    file.leftOut.push(...table.leftOut.map((row) => ({ sheet: table.sheet, ...row })));
    for (const row of rows) file.addRow(row, used, farm, names);
  }
  return file;
}

class FileDraft implements UnderstoodFile {
  readonly jars: JarRecord[] = [];
  readonly runs: RunRecord[] = [];
  readonly harvests: HarvestRecord[] = [];
  readonly questions: SheetQuestion[] = [];
  readonly refused: FileProblem[] = [];
  readonly leftOut: RowLeftOut[] = [];
  readonly workedOut: Record<string, number> = {};

  addRow(row: ReadRow, mapping: Used, farm: FarmFacts, runNames: readonly string[]): void {
    const word = leftOutWord(row, mapping);
    if (word !== null) this.leftOut.push({ sheet: row.table.sheet, row: row.row, why: 'word-left-out', shows: word });
    else if (row.problems.length > 0) this.refused.push(...row.problems);
    else if (!row.waiting && !waitsForWord(row, mapping)) this.#addRecord(row, mapping, farm, runNames);
  }

  #addRecord(row: ReadRow, mapping: Used, farm: FarmFacts, runNames: readonly string[]): void {
    if (mapping.use === 'runs') this.#keep(runRecord(row, mapping, farm), this.runs);
    else if (!isRunKnown(row, mapping, runNames)) this.refused.push(unknownRun(row));
    else if (mapping.use === 'jars') this.#keep(jarRecord(row, mapping, farm), this.jars);
    else this.#keep(harvestRecord(row, mapping, farm), this.harvests);
  }

  #keep<T>(made: RecordOf<T>, into: T[]): void {
    if ('problems' in made) {
      this.refused.push(...made.problems);
      return;
    }
    into.push(made.record);
    for (const rule of made.noted) this.workedOut[rule] = (this.workedOut[rule] ?? 0) + 1;
  }
}

type Used = TableMapping & { readonly use: TableUse };

const wordsIn = (row: ReadRow, { use }: Used) =>
  wordFields.flatMap((field) => {
    const word = fieldSpec(use, field)?.reading === 'words' ? textValue(row, field) : null;
    return word === null ? [] : [{ field, word }];
  });

function askedWords(
  table: FoundTable,
  rows: readonly ReadRow[],
  mapping: Used,
  farm: FarmFacts,
): readonly SheetQuestion[] {
  const questions = new QuestionList(table);
  for (const row of rows) {
    for (const { field, word } of wordsIn(row, mapping)) {
      if (meaningOf(mapping, field, word) !== undefined) continue;
      const likely = likelyMeaning(field, word, farm);
      const suggestion = likely?.to === 'known' ? likely.id : null;
      const example = { cell: cellOf(row, field), shows: word, readings: [] };
      questions.ask('word', field, word, 1, example, suggestion);
    }
  }
  return questions.all;
}

const waitsForWord = (row: ReadRow, mapping: Used): boolean =>
  wordsIn(row, mapping).some(({ field, word }) => meaningOf(mapping, field, word) === undefined);

/** A place may be left out without the row: the jar then stands nowhere in particular. So may the run a jar went into. */
function leftOutWord(row: ReadRow, mapping: Used): string | null {
  const left = wordsIn(row, mapping).find(
    ({ field, word }) =>
      field !== 'place' &&
      !(field === 'run' && mapping.use === 'jars') &&
      meaningOf(mapping, field, word)?.to === 'leave-out',
  );
  return left?.word ?? null;
}

function isRunKnown(row: ReadRow, mapping: Used, names: readonly string[]): boolean {
  const meaning = meaningOf(mapping, 'run', textValue(row, 'run') ?? '');
  return meaning?.to !== 'run-in-file' || names.some((name) => wordKey(name) === wordKey(meaning.name));
}

const unknownRun = (row: ReadRow): FileProblem => ({
  ...{
    code: 'unknown-name',
    sheet: row.table.sheet,
    cell: cellOf(row, 'run'),
    column: 'run',
    value: textValue(row, 'run'),
  },
  rule: 'The run is in no table of runs of this file.',
  advice: 'Say which run of the farm it is, or bring in its table of runs too.',
});

/** What the unmistakable cells of the table speak for: shown beside the question, never taken for an answer. */
function withSuggestion(question: SheetQuestion, table: FoundTable, mapping: Used): SheetQuestion {
  if (question.about === 'day-order')
    return { ...question, suggestion: dayOrderSpokenFor(textsOf(table, mapping, ['day'])) };
  if (question.about !== 'decimal-mark') return question;
  return {
    ...question,
    suggestion: decimalMarkSpokenFor(textsOf(table, mapping, ['mass', 'whole', 'percent', 'temperature'])),
  };
}

function textsOf(table: FoundTable, mapping: Used, readings: readonly string[]): readonly string[] {
  const columns = table.columns.filter(({ column }) => {
    const field = mapping.columns[String(column)];
    const spec = field === undefined || field === 'leave-out' ? undefined : fieldSpec(mapping.use, field as SheetField);
    return spec !== undefined && readings.includes(spec.reading);
  });
  return table.rows.flatMap(({ cells }) =>
    columns.flatMap(({ column }) => {
      const content = cells.get(column)?.content;
      return content?.kind === 'text' ? [content.text] : [];
    }),
  );
}

function dayOrderSpokenFor(texts: readonly string[]): string | null {
  const spoken = new Set(
    texts.flatMap((text) => {
      const readings = dayReadings(text);
      if (readings === null || readings.certain !== null) return [];
      const possible = dayOrders.filter((order) => readings.byOrder[order] !== null);
      return possible.length === 1 ? possible : [];
    }),
  );
  return spoken.size === 1 ? [...spoken][0]! : null;
}

function decimalMarkSpokenFor(texts: readonly string[]): string | null {
  const spoken = new Set(
    texts.flatMap((text) => {
      const readings = numberReadings(text);
      if (readings === null || !/[.,]/.test(text)) return [];
      return readings.comma === null ? ['point'] : readings.point === null ? ['comma'] : [];
    }),
  );
  return spoken.size === 1 ? [...spoken][0]! : null;
}
