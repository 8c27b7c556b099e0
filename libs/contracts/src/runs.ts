import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { planRunSchema } from './plan.js';

/**
 * What spawn is needed for: bulk runs, one preparation of bulk substrate each, and orders, whole jars of spawn that
 * leave the farm. Both are planned, done or cancelled. Spawn in grams, substrate in kg.
 */

export const runKinds = ['bulk', 'order'] as const;
export const spawnRateBases = ['wet/wet', 'wet/dry', 'dry/dry'] as const;
export const runStates = ['planned', 'done', 'cancelled'] as const;

/** `covered`: at least its minimum; `full`: its target; `short`: below its minimum. */
export const coverageKinds = ['full', 'covered', 'short'] as const;

export const runCoverageSchema = planRunSchema.omit({ run: true, day: true }).extend({
  planId: idSchema,
  kind: z.enum(coverageKinds),
  shortGrams: z.number(),
  /**
   * Of an order, null for a bulk run: whole jars still to be given, those of them the plan fills, and grams it would
   * take from opened jars or other sizes, which fill none.
   */
  jars: z
    .object({ left: z.number().int(), covered: z.number().int(), least: z.number().int(), otherGrams: z.number() })
    .nullable(),
});

const shownOfAny = {
  id: idSchema,
  revision: z.number().int().positive(),
  name: z.string(),
  day: calendarDaySchema,
  /** The first is preferred. */
  strains: z.array(z.object({ id: idSchema, code: z.string(), name: z.string() })),
  /** Share of the target: below the minimum the run counts as not covered. */
  minShare: z.number(),
  minGrams: z.number(),
  targetGrams: z.number(),
  maxGrams: z.number(),
  priority: z.number().int(),
  slackDays: z.number().int(),
  note: z.string().nullable(),
  state: z.enum(runStates),
  cancelled: z
    .object({
      at: instantSchema,
      byStaffId: idSchema.nullable(),
      reason: z.string().nullable(),
    })
    .nullable(),
  /** From the newest plan; null when that plan does not know this run (yet), or it is not planned any more. */
  coverage: runCoverageSchema.nullable(),
};

export const bulkRunSchema = z
  .object({
    ...shownOfAny,
    kind: z.literal('bulk'),
    substrateWetKg: z.number(),
    /** Water share of the wet substrate, 0 to 1; null: not said. A basis that needs it then takes the usual 0.65. */
    substrateMoisture: z.number().nullable(),
    /** Spawn as a share of substrate, by the basis: spawn mass/substrate mass. */
    spawnRate: z.number(),
    basis: z.enum(spawnRateBases),
    /** Share of the target above which nothing is put in. */
    maxShare: z.number(),
  })
  .meta({ id: 'BulkRun' });

/** Its grams are jars times what a full one of its size holds now; after jars were given, `handedOver` of them are. */
export const orderSchema = z
  .object({
    ...shownOfAny,
    kind: z.literal('order'),
    jars: z.number().int(),
    size: z.object({ id: idSchema, name: z.string(), ripeGrams: z.number() }),
    handedOver: z.number().int(),
    forWhom: z.string().nullable(),
  })
  .meta({ id: 'SpawnOrder' });

export const runSchema = z.discriminatedUnion('kind', [bulkRunSchema, orderSchema]).meta({ id: 'Run' });

const sayableOfAny = {
  name: lineSchema(80),
  day: calendarDaySchema,
  strainIds: z.array(idSchema).min(1, 'Name at least one strain.').max(20),
  minShare: z.number().min(0).max(1),
  priority: z.number().int().min(1).max(9),
  slackDays: z.number().int().min(0).max(60),
  note: lineSchema(500).nullable(),
};

const sayableOfBulk = {
  substrateWetKg: z.number().positive('Write the wet mass in kg, above 0.').max(100_000),
  substrateMoisture: z.number().min(0.01).max(0.99).nullable(),
  spawnRate: z.number().min(0.0001).max(1, 'A spawn rate is a share from 0 to 1: 5 % is 0.05.'),
  basis: z.enum(spawnRateBases),
  maxShare: z.number().min(1).max(3),
};

const sayableOfOrder = {
  jars: z.number().int('Write a whole number of jars.').min(1, 'Write how many jars, at least 1.').max(10_000),
  sizeId: idSchema,
  /** A note and nothing more: Jarfold keeps no addresses and sends nothing to anybody. */
  forWhom: lineSchema(120).nullable(),
};

const anyPartial = z.strictObject(sayableOfAny).omit({ day: true, strainIds: true }).partial().shape;

/** Only what, how much and when must be said; the spawn rate comes from the first strain's species. */
export const newBulkRunSchema = z
  .strictObject({
    id: idSchema.optional(),
    /** Left out: a bulk run. */
    kind: z.literal('bulk').optional(),
    day: sayableOfAny.day,
    strainIds: sayableOfAny.strainIds,
    substrateWetKg: sayableOfBulk.substrateWetKg,
    ...anyPartial,
    ...z.strictObject(sayableOfBulk).omit({ substrateWetKg: true }).partial().shape,
  })
  .meta({ id: 'NewBulkRun' });

/** All of its jars are wanted unless a smaller share is said to do. */
export const newOrderSchema = z
  .strictObject({
    id: idSchema.optional(),
    kind: z.literal('order'),
    day: sayableOfAny.day,
    strainIds: sayableOfAny.strainIds,
    jars: sayableOfOrder.jars,
    sizeId: sayableOfOrder.sizeId,
    forWhom: sayableOfOrder.forWhom.optional(),
    ...anyPartial,
  })
  .meta({ id: 'NewSpawnOrder' });

export const newRunSchema = z.discriminatedUnion('kind', [newBulkRunSchema, newOrderSchema]).meta({ id: 'NewRun' });

/** Of a bulk run or an order; what belongs to the other kind is refused, and a run never changes its kind. */
export const runPatchSchema = z
  .strictObject({ ...sayableOfAny, ...sayableOfBulk, ...sayableOfOrder, state: z.enum(['planned', 'done']) })
  .partial()
  .meta({ id: 'RunPatch' });

/** What a patch may say of one kind only, by that kind. */
export const saidOfOneKind = {
  bulk: Object.keys(sayableOfBulk) as readonly (keyof typeof sayableOfBulk)[],
  order: Object.keys(sayableOfOrder) as readonly (keyof typeof sayableOfOrder)[],
} as const;

export const cancelRunSchema = z.strictObject({ reason: lineSchema(500).optional() }).meta({ id: 'CancelRun' });

export const runQuerySchema = z
  .strictObject({
    from: calendarDaySchema.optional(),
    to: calendarDaySchema.optional(),
    /** Left out: planned ones. */
    state: z.enum([...runStates, 'all']).default('planned'),
  })
  .meta({ id: 'RunQuery' });

/** Whether what follows was planned with the newest facts, or the plan is still being made by the worker. */
export const planFreshness = ['current', 'being-made'] as const;

export const runListSchema = z
  .object({
    items: z.array(runSchema),
    planId: idSchema.nullable(),
    planAsOf: calendarDaySchema.nullable(),
  })
  .meta({ id: 'RunList' });

/** The run as it is now, with its coverage by the plan made for this change. */
export const runChangedSchema = z
  .object({ run: runSchema, plan: z.object({ id: idSchema.nullable(), freshness: z.enum(planFreshness) }) })
  .meta({ id: 'RunChanged' });

export type Run = z.infer<typeof runSchema>;
export type BulkRunJson = z.infer<typeof bulkRunSchema>;
export type OrderJson = z.infer<typeof orderSchema>;
export type RunCoverageJson = z.infer<typeof runCoverageSchema>;
export type NewRun = z.infer<typeof newRunSchema>;
export type NewBulkRun = z.infer<typeof newBulkRunSchema>;
export type NewOrder = z.infer<typeof newOrderSchema>;
export type RunPatch = z.infer<typeof runPatchSchema>;
export type CancelRun = z.infer<typeof cancelRunSchema>;
export type RunQuery = z.infer<typeof runQuerySchema>;
export type RunList = z.infer<typeof runListSchema>;
export type RunChanged = z.infer<typeof runChangedSchema>;
