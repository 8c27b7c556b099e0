import {
  massUnits,
  sheetFields,
  sheetStates,
  strainCodeProblem,
  tableUses,
  temperatureUnits,
  wordFields,
} from '@jarfold/domain';
import { z } from 'zod';
import { idSchema, lineSchema } from './common.js';
import { carrierSchema, containerFormSchema, containerVolumeSchema, roomKinds } from './farm.js';
import { fileImportSchema, fileProblemSchema } from './imports.js';

/**
 * A farm's own old spreadsheets: first it is asked how a file is to be understood, then shown what would be brought in,
 * then all of it is brought in at once.
 */

const count = z.number().int();
const field = z.enum(sheetFields);
const name = lineSchema(80);

const meaningSchema = z.discriminatedUnion('to', [
  z.strictObject({
    to: z.literal('known'),
    id: z.union([idSchema, z.enum(sheetStates)]).describe('A strain, size, shelf or run by its id, or a state.'),
  }),
  z.strictObject({
    to: z.literal('new-strain'),
    code: z
      .string()
      .trim()
      .toUpperCase()
      .refine((text) => strainCodeProblem(text) === null, {
        error: 'Two to four letters and up to three digits, and nothing a spreadsheet takes for a date or a number.',
      }),
    name,
    speciesKey: z.string().min(1).max(60),
  }),
  z.strictObject({
    to: z.literal('new-size'),
    name,
    volumeMl: containerVolumeSchema,
    container: containerFormSchema,
    carrier: carrierSchema,
  }),
  z.strictObject({ to: z.literal('new-room'), name, kind: z.enum(roomKinds) }),
  z.strictObject({ to: z.literal('run-in-file'), name: z.string().min(1).max(200) }),
  z.strictObject({ to: z.literal('leave-out') }),
]);

const columnNumber = z.string().regex(/^[1-9]\d{0,4}$/);
const word = z.string().min(1).max(500);
const answerFor = z.string().max(120);

/** Of two columns for one field the second would silently win. */
function saysEachOnce(uses: readonly string[]): boolean {
  const fields = uses.filter((use) => use !== 'note' && use !== 'leave-out');
  return new Set(fields).size === fields.length;
}

/** How one table is to be understood; null is a question still open. */
export const tableMappingSchema = z
  .strictObject({
    use: z.enum([...tableUses, 'leave-out']),
    columns: z.record(columnNumber, z.enum([...sheetFields, 'leave-out'])).describe('By number of the column, A is 1.'),
    forAllRows: z.partialRecord(field, answerFor).describe('What counts for rows that leave a field blank.'),
    units: z.partialRecord(field, z.enum([...massUnits, ...temperatureUnits])),
    decimalMark: z.enum(['point', 'comma']).nullable(),
    dayOrder: z.enum(['day-month-year', 'month-day-year', 'year-month-day']).nullable(),
    dayCount: z.enum(['1900', '1904']).nullable().describe('What plain numbers in a column of days count from.'),
    words: z
      .partialRecord(z.enum(wordFields), z.record(word, meaningSchema))
      .describe('What the file’s words stand for, by field and by the word in small letters.'),
  })
  .refine(({ columns }) => saysEachOnce(Object.values(columns)), {
    path: ['columns'],
    error: 'Two columns cannot say the same: only notes may come from several.',
  })
  .meta({ id: 'OldSheetsTableMapping' });

const tableKey = z.string().regex(/^\d{1,3}\.\d{1,3}$/);

export const sheetMappingSchema = z
  .strictObject({ tables: z.record(tableKey, tableMappingSchema) })
  .meta({ id: 'OldSheetsMapping' });

const sampleSchema = z.object({ row: count, shows: z.array(z.string()) });

export const oldSheetsTableSchema = z.object({
  key: z.string(),
  sheet: z.string(),
  hidden: z.boolean(),
  title: z.string().nullable(),
  headRow: count,
  rows: count,
  columns: z.array(z.object({ column: count, letters: z.string(), heading: z.string() })),
  /** The first rows as they show, cell by cell. */
  sample: z.array(sampleSchema),
});

export const sheetQuestionSchema = z.object({
  table: z.string(),
  about: z.enum(['day-order', 'decimal-mark', 'day-count', 'unit', 'word', 'missing-field']),
  field: field.nullable(),
  word: z.string().nullable(),
  rows: count,
  examples: z.array(z.object({ cell: z.string(), shows: z.string(), readings: z.array(z.string()) })),
  /** What other cells of the table speak for; never taken without being said. */
  suggestion: z.string().nullable(),
});

/** Most problems and rows told one by one; the counts tell of all. */
export const MOST_ROWS_TOLD = 200;

export const oldSheetsPreviewSchema = z
  .object({
    import: fileImportSchema,
    /** What was taken for the encoding and separator of a text file; null for a workbook or an unreadable file. */
    text: z.object({ encoding: z.string(), separator: z.string() }).nullable(),
    tables: z.array(oldSheetsTableSchema),
    mapping: z.record(z.string(), tableMappingSchema),
    /** The mapping comes from an earlier file with the same headings. */
    remembered: z.boolean(),
    questions: z.array(sheetQuestionSchema),
    counts: z.object({
      lots: count,
      jars: count,
      runs: count,
      harvests: count,
      strains: count,
      sizes: count,
      rooms: count,
      refused: count,
      already: count,
      leftOut: count,
    }),
    refused: z.array(fileProblemSchema),
    already: z.array(z.object({ sheet: z.string(), row: count, shows: z.string() })),
    leftOut: z.array(
      z.object({
        sheet: z.string(),
        row: count,
        why: z.enum(['total', 'repeated-headings', 'line-of-text', 'word-left-out']),
        shows: z.string(),
      }),
    ),
    /** Rows in which a day that nobody wrote was worked out, by the rule used. */
    workedOut: z.record(z.string(), count),
    /** Why the file cannot be read at all. */
    problems: z.array(fileProblemSchema),
    /** Sent back when it is brought in: whether file, mapping and farm are still as they were shown. */
    seen: z.string(),
    /** The file can be given back with its refused cells marked. */
    canBeMarked: z.boolean(),
    /** Whether what it brought can be taken back as a whole. */
    canBeTakenBack: z.boolean(),
  })
  .meta({ id: 'OldSheetsPreview' });

export const bringInSchema = z
  .strictObject({
    seen: z.string().min(1).max(128),
    /** Said by the person: rows that are refused stay out, and the others come in. */
    withoutRefused: z.boolean(),
  })
  .meta({ id: 'BringInOldSheets' });

export const takenBackSchema = z
  .object({ import: fileImportSchema, entries: count, runs: count })
  .meta({ id: 'OldSheetsTakenBack' });

export type SheetMappingBody = z.infer<typeof sheetMappingSchema>;
export type OldSheetsPreview = z.infer<typeof oldSheetsPreviewSchema>;
export type OldSheetsTable = z.infer<typeof oldSheetsTableSchema>;
export type SheetQuestionJson = z.infer<typeof sheetQuestionSchema>;
export type TableMappingJson = z.infer<typeof tableMappingSchema>;
export type BringIn = z.infer<typeof bringInSchema>;
export type TakenBack = z.infer<typeof takenBackSchema>;
