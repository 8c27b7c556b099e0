import { z } from 'zod';
import { idSchema } from './common.js';

/** Labels for jars and lots as PDF: on a grid of sheets, or one label a page for a label printer. Millimetres. */

export const MAX_LABELS = 1000;

const mm = (least: number, most: number) => z.coerce.number().min(least).max(most);
const whole = (least: number, most: number) => z.coerce.number().int().min(least).max(most);

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
    kind: z.enum(['sheet', 'single']).default('sheet').describe('A grid on pages, or a page for each label.'),
    labelWidthMm: mm(20, 300).default(60),
    labelHeightMm: mm(12, 300).default(30),
    pageWidthMm: mm(20, 500).default(210),
    pageHeightMm: mm(12, 500).default(297),
    columns: whole(1, 20).default(3),
    rows: whole(1, 50).default(9),
    marginLeftMm: mm(0, 100).default(12),
    marginTopMm: mm(0, 100).default(10),
    gapXMm: mm(0, 50).default(3),
    gapYMm: mm(0, 50).default(1),
    skip: whole(0, 999).default(0).describe('Labels of the first sheet that are used already.'),
  })
  .refine(({ lotId, jarIds }) => (lotId === undefined) !== (jarIds === undefined), {
    error: 'Name either a lot or jars.',
  })
  .refine(({ what, lotId }) => what === 'jars' || lotId !== undefined, {
    error: 'A label for a lot needs the lot.',
    path: ['lotId'],
  });

export type LabelQuery = z.infer<typeof labelQuerySchema>;
