import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema, lineSchema } from './common.js';
import { planRunSchema } from './plan.js';

/** Bulk runs: one preparation of bulk substrate each, planned, done or cancelled. Spawn in grams, substrate in kg. */

export const spawnRateBases = ['wet/wet', 'wet/dry', 'dry/dry'] as const;
export const runStates = ['planned', 'done', 'cancelled'] as const;

/** `covered`: at least its minimum; `full`: its target; `short`: below its minimum. */
export const coverageKinds = ['full', 'covered', 'short'] as const;

export const runCoverageSchema = planRunSchema
  .omit({ run: true, day: true })
  .extend({ planId: idSchema, kind: z.enum(coverageKinds), shortGrams: z.number() });

export const runSchema = z
  .object({
    id: idSchema,
    revision: z.number().int().positive(),
    name: z.string(),
    day: calendarDaySchema,
    /** The first is preferred. */
    strains: z.array(z.object({ id: idSchema, code: z.string(), name: z.string() })),
    substrateWetKg: z.number(),
    /** Water share of the wet substrate, 0 to 1; null: not said. A basis that needs it then takes the usual 0.65. */
    substrateMoisture: z.number().nullable(),
    /** Spawn as a share of substrate, by the basis: spawn mass/substrate mass. */
    spawnRate: z.number(),
    basis: z.enum(spawnRateBases),
    /** Shares of the target: below the minimum the run counts as not covered, above the maximum nothing is put in. */
    minShare: z.number(),
    maxShare: z.number(),
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
  })
  .meta({ id: 'Run' });

const runFields = {
  name: lineSchema(80),
  day: calendarDaySchema,
  strainIds: z.array(idSchema).min(1, 'Name at least one strain.').max(20),
  substrateWetKg: z.number().positive('Write the wet mass in kg, above 0.').max(100_000),
  substrateMoisture: z.number().min(0.01).max(0.99).nullable(),
  spawnRate: z.number().min(0.0001).max(1, 'A spawn rate is a share from 0 to 1: 5 % is 0.05.'),
  basis: z.enum(spawnRateBases),
  minShare: z.number().min(0).max(1),
  maxShare: z.number().min(1).max(3),
  priority: z.number().int().min(1).max(9),
  slackDays: z.number().int().min(0).max(60),
  note: lineSchema(500).nullable(),
};

/** Only what, how much and when must be said; the spawn rate comes from the first strain's species. */
export const newRunSchema = z
  .strictObject({
    id: idSchema.optional(),
    day: runFields.day,
    strainIds: runFields.strainIds,
    substrateWetKg: runFields.substrateWetKg,
    ...z.strictObject(runFields).omit({ day: true, strainIds: true, substrateWetKg: true }).partial().shape,
  })
  .meta({ id: 'NewRun' });

export const runPatchSchema = z
  .strictObject({ ...runFields, state: z.enum(['planned', 'done']) })
  .partial()
  .meta({ id: 'RunPatch' });

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
export type RunCoverageJson = z.infer<typeof runCoverageSchema>;
export type NewRun = z.infer<typeof newRunSchema>;
export type RunPatch = z.infer<typeof runPatchSchema>;
export type CancelRun = z.infer<typeof cancelRunSchema>;
export type RunQuery = z.infer<typeof runQuerySchema>;
export type RunList = z.infer<typeof runListSchema>;
export type RunChanged = z.infer<typeof runChangedSchema>;
