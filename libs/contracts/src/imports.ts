import { z } from 'zod';
import { idSchema, instantSchema, lineSchema } from './common.js';

/** Files a person sends in: first a preview, then one transaction. */

const cellValue = z.union([z.string(), z.number(), z.boolean(), z.null()]);
const count = z.number().int();

/** What is wrong at one place of a file, told so that its owner can put it right. */
export const fileProblemSchema = z.object({
  code: z.string(),
  sheet: z.string().nullable(),
  /** Address such as `C7`. */
  cell: z.string().nullable(),
  column: z.string().nullable(),
  /** What the cell shows. */
  value: z.string().nullable(),
  rule: z.string(),
  advice: z.string(),
});

export const importStates = ['previewed', 'waiting', 'running', 'applied', 'cancelled', 'failed'] as const;
export const importKinds = ['weekly-workbook', 'old-records', 'whole-farm'] as const;

export const fileImportSchema = z
  .object({
    id: idSchema,
    kind: z.enum(importKinds),
    fileName: z.string(),
    state: z.enum(importStates),
    uploadedAt: instantSchema,
    appliedAt: instantSchema.nullable(),
    /** Rows done and rows in all, of a long import. */
    progress: z.object({ done: count, total: count }).nullable(),
    /** What became of it, in one sentence; null before. */
    result: z.string().nullable(),
  })
  .meta({ id: 'FileImport' });

/** Newest first, at most 50. */
export const fileImportListSchema = z.object({ items: z.array(fileImportSchema) }).meta({ id: 'FileImportList' });

const cellChangeSchema = z.object({
  key: z.string(),
  /** The run's name as it is here. */
  row: z.string(),
  column: z.string(),
  heading: z.string(),
  place: z.string(),
});

export const returnedBookPreviewSchema = z
  .object({
    import: fileImportSchema,
    /** Sent back when it is applied: whether the farm is still as it was shown. */
    seen: z.string(),
    /** The same file was applied before: then nothing is left to do. */
    appliedBefore: z.boolean(),
    counts: z.object({ added: count, changed: count, cancelled: count, unchanged: count, conflicts: count }),
    changes: z.array(cellChangeSchema.extend({ from: cellValue, to: cellValue })),
    conflicts: z.array(cellChangeSchema.extend({ base: cellValue, ours: cellValue, theirs: cellValue })),
    /** An edit on one side meets a delete on the other. */
    deleteConflicts: z.array(
      z.object({
        key: z.string(),
        row: z.string(),
        kind: z.enum(['deleted-in-file', 'gone-here']),
        headings: z.array(z.string()),
        place: z.string(),
      }),
    ),
    added: z.array(z.object({ place: z.string(), values: z.record(z.string(), cellValue) })),
    deletes: z.array(z.object({ key: z.string(), row: z.string(), place: z.string() })),
    /** Rows with the hidden key of another row: somebody copied them. */
    copies: z.array(
      z.object({
        place: z.string(),
        firstPlace: z.string(),
        row: z.string(),
        same: z.boolean(),
        explanation: z.string(),
      }),
    ),
    /** Rows the file no longer has; they are kept. */
    missing: z.array(z.string()),
    ignoredColumns: z.array(z.string()),
    /** What keeps the file from being applied. */
    problems: z.array(fileProblemSchema),
  })
  .meta({ id: 'ReturnedBookPreview' });

const side = z.enum(['ours', 'theirs']);

export const applyReturnedBookSchema = z
  .strictObject({
    seen: z.string().min(1).max(128),
    choices: z
      .strictObject({
        /** By `key/column`, or `*` and the column for a whole column. Left out: ours. */
        cells: z.record(z.string().max(120), side).optional(),
        rows: z.record(z.string().max(60), side).optional(),
        copies: z.record(z.string().max(20), z.enum(['leave-out', 'add'])).optional(),
      })
      .optional(),
  })
  .meta({ id: 'ApplyReturnedBook' });

/** A whole farm that waits to be brought in. */
export const farmFilePreviewSchema = z
  .object({
    import: fileImportSchema,
    /** What the file says it holds; null when it is no farm. */
    farm: z
      .object({ name: z.string(), timeZone: z.string(), madeAt: instantSchema, rows: count, stateHash: z.string() })
      .nullable(),
    /** Whether nothing was ever told to this farm: only then another can be brought in. */
    empty: z.boolean(),
    problems: z.array(fileProblemSchema),
  })
  .meta({ id: 'FarmFilePreview' });

export const fileNameQuerySchema = z
  .strictObject({
    /** What the file is called where it came from. */
    name: lineSchema(200).default('workbook.xlsx'),
  })
  .meta({ id: 'FileNameQuery' });

export type FileProblemJson = z.infer<typeof fileProblemSchema>;
export type FileImport = z.infer<typeof fileImportSchema>;
export type FileImportList = z.infer<typeof fileImportListSchema>;
export type ReturnedBookPreview = z.infer<typeof returnedBookPreviewSchema>;
export type ApplyReturnedBook = z.infer<typeof applyReturnedBookSchema>;
export type FarmFilePreview = z.infer<typeof farmFilePreviewSchema>;
export type FileNameQuery = z.infer<typeof fileNameQuerySchema>;
