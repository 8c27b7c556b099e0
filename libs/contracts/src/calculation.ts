import { z } from 'zod';

/**
 * One calculation of the open calculator: what it is for, where it comes from, what goes in and out, and an example that
 * the documentation shows and a test runs. Everyone can check a number Jarfold shows with it.
 */
export interface Calculation {
  /** Words with hyphens, as typed on the command line. */
  readonly name: string;
  readonly purpose: string;
  /** The publication or the definition behind it. */
  readonly source: string;
  readonly input: z.ZodType;
  readonly output: z.ZodType;
  readonly example: unknown;
  /** Parsed input to output; throws a DomainError for what has no meaning. */
  readonly run: (input: never) => unknown;
}

interface Defined<I extends z.ZodType, O extends z.ZodType> {
  readonly name: string;
  readonly purpose: string;
  readonly source: string;
  readonly input: I;
  readonly output: O;
  readonly example: z.input<I>;
  readonly run: (input: z.output<I>) => z.output<O>;
}

/** Writes down a calculation, with its example and its function held to its schemas. */
export const defineCalculation = <I extends z.ZodType, O extends z.ZodType>(calculation: Defined<I, O>): Calculation =>
  calculation;

export const countSchema = z.int().min(0);
export const fractionSchema = z.number().min(0).max(1);
export const moistureSchema = z.number().min(0).lt(1);
export const levelSchema = z.number().gt(0).lt(1).default(0.95);
export const massSchema = z.number().min(0);
export const daysSchema = z.number().min(0);

export const intervalSchema = z.object({ low: z.number(), high: z.number(), level: z.number() });

export const estimateSchema = z.object({
  kind: z.literal('estimate'),
  value: z.number(),
  low: z.number(),
  high: z.number(),
  level: z.number(),
  n: z.number(),
});

export const notEnoughDataSchema = z.object({
  kind: z.literal('not enough data'),
  n: z.number(),
  needed: z.number(),
  reason: z.string(),
});

export const estimateOrNotSchema = z.discriminatedUnion('kind', [estimateSchema, notEnoughDataSchema]);

/** A time known to lie after one day and no later than another; null: not yet when last seen. */
export const betweenSchema = z.strictObject({
  afterDays: daysSchema,
  byDays: daysSchema.nullable(),
  count: z.int().min(1).default(1),
});

export const groupSchema = z.strictObject({ hits: countSchema, n: countSchema });
export const keyedGroupSchema = groupSchema.extend({ key: z.string() });
