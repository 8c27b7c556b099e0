import { z } from 'zod';
import { idSchema } from './common.js';

/** Labels for jars and lots as PDF: on a grid of sheets, or one label a page for a label printer. Millimetres. */

export const MAX_LABELS = 1000;

const millimetres = (least: number, most: number) => z.number().min(least).max(most);
const whole = (least: number, most: number) => z.number().int().min(least).max(most);

const layoutFields = {
  kind: z.enum(['sheet', 'single']).describe('A grid on pages, or a page for each label.'),
  labelWidthMm: millimetres(20, 300),
  labelHeightMm: millimetres(12, 300),
  pageWidthMm: millimetres(20, 500),
  pageHeightMm: millimetres(12, 500),
  columns: whole(1, 20),
  rows: whole(1, 50),
  marginLeftMm: millimetres(0, 100),
  marginTopMm: millimetres(0, 100),
  gapXMm: millimetres(0, 50),
  gapYMm: millimetres(0, 50),
};

/** How the farm's labels lie on what its printer takes. A single label is as large as its page. */
export const labelLayoutSchema = z.strictObject(layoutFields).meta({ id: 'LabelLayout' });
export type LabelLayout = z.infer<typeof labelLayoutSchema>;

/** Until the farm says otherwise: A4 with 3 x 9 labels of 60 x 30 mm. */
export const STARTING_LABEL_LAYOUT: LabelLayout = {
  ...{ kind: 'sheet', labelWidthMm: 60, labelHeightMm: 30, pageWidthMm: 210, pageHeightMm: 297, columns: 3, rows: 9 },
  ...{ marginLeftMm: 12, marginTopMm: 10, gapXMm: 3, gapYMm: 1 },
};

/** Fields of an address are text. */
const fromText = <T extends z.ZodType<number, number>>(field: T) =>
  z
    .string()
    .regex(/^\d{1,4}(\.\d{1,4})?$/, 'Write a number such as 30 or 29.5.')
    .transform(Number)
    .pipe(field)
    .optional();

export const labelQuerySchema = z
  .strictObject({
    lotId: idSchema.optional().describe('All jars of a lot that still stand somewhere.'),
    jarIds: z
      .string()
      .max(MAX_LABELS * 37)
      .transform((text) => text.split(','))
      .pipe(z.array(idSchema).min(1).max(MAX_LABELS))
      .optional()
      .describe('Ids of jars, with commas between them.'),
    what: z.enum(['jars', 'lot']).default('jars').describe('A label for each jar, or one for the lot as a whole.'),
    kind: layoutFields.kind.optional().describe('This and the lengths below: left out, as the farm has set it.'),
    labelWidthMm: fromText(layoutFields.labelWidthMm),
    labelHeightMm: fromText(layoutFields.labelHeightMm),
    pageWidthMm: fromText(layoutFields.pageWidthMm),
    pageHeightMm: fromText(layoutFields.pageHeightMm),
    columns: fromText(layoutFields.columns),
    rows: fromText(layoutFields.rows),
    marginLeftMm: fromText(layoutFields.marginLeftMm),
    marginTopMm: fromText(layoutFields.marginTopMm),
    gapXMm: fromText(layoutFields.gapXMm),
    gapYMm: fromText(layoutFields.gapYMm),
    skip: fromText(whole(0, 999)).describe('Labels of the first sheet that are used already.'),
  })
  .refine(({ lotId, jarIds }) => (lotId === undefined) !== (jarIds === undefined), {
    error: 'Name either a lot or jars.',
  })
  .refine(({ what, lotId }) => what === 'jars' || lotId !== undefined, {
    error: 'A label for a lot needs the lot.',
    path: ['lotId'],
  });

export type LabelQuery = z.infer<typeof labelQuerySchema>;
