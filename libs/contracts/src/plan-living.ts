import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';
import { idSchema, instantSchema } from './common.js';
import { limitKinds } from './plan.js';
import { learnedOrigins } from './rates.js';

/** Living with a plan: accepting, pinning, comparing, and asking what would be if. Masses are grams of ripe spawn. */

const grams = z.number();
const probability = z.number().min(0).max(1);
const containers = z.number().int().min(0).max(100_000);

export const planStatuses = ['proposed', 'accepted', 'superseded'] as const;

/** Where a start stands: only proposed, agreed on, held by a lead, or past changing because its grain is made. */
export const startHolds = ['proposed', 'accepted', 'pinned', 'prepared'] as const;

export const planPinSchema = z
  .object({
    benchDay: calendarDaySchema,
    strain: z.object({ id: idSchema, code: z.string() }),
    generation: z.number().int(),
    size: z.object({ id: idSchema, name: z.string() }),
    containers,
    pinnedAt: instantSchema,
  })
  .meta({ id: 'PlanPin' });

export const pinnedStartSchema = z
  .strictObject({
    benchDay: calendarDaySchema,
    strainId: idSchema,
    generation: z.number().int().min(1).max(100),
    sizeId: idSchema,
    /** 0: none is to be started. Null: let the planner choose again. */
    containers: containers.nullable(),
  })
  .meta({ id: 'PinnedStart' });

export const assuranceSchema = z
  .strictObject({
    /** Probability with which every run shall be covered; 0: plan for what is expected. */
    assurance: z.number().min(0).max(0.999, 'Nothing that lives is certain: at most 0.999.'),
  })
  .meta({ id: 'Assurance' });

const nextStartSchema = z.object({
  id: z.string(),
  benchDay: calendarDaySchema,
  strain: z.object({ id: idSchema, code: z.string() }),
  generation: z.number().int(),
  size: z.object({ id: idSchema, name: z.string() }),
  containers,
  hold: z.enum(startHolds),
  /** What for. */
  feeds: z.array(z.object({ runId: idSchema, run: z.string(), grams })),
  mothersLaterGrams: grams,
  reserveGrams: grams,
  /** Why now: the last bench day on which it would still be in time. */
  lastSafeDay: calendarDaySchema,
  isLastSafeDay: z.boolean(),
  /** What if it is skipped: runs that become less likely covered, the worst first; null: too far ahead to be weighed. */
  withoutIt: z.array(z.object({ runId: idSchema, run: z.string(), probability, before: probability })).nullable(),
});

/** The newest plan as something to agree on. */
export const planReviewSchema = z
  .object({
    planId: idSchema,
    version: z.number().int(),
    asOf: calendarDaySchema,
    madeAt: instantSchema,
    freshness: z.enum(['current', 'being-made']),
    status: z.enum(planStatuses),
    acceptedAt: instantSchema.nullable(),
    cost: z.number(),
    bound: z.number(),
    gap: z.number(),
    currency: z.string(),
    /** Null in a plan made before chance was counted. */
    assurance: z
      .object({ asked: probability, draws: z.number().int(), met: z.number().int(), runs: z.number().int() })
      .nullable(),
    /** Where each strain's chance was taken from; empty in an older plan. */
    grounds: z.array(
      z.object({
        strain: z.string(),
        loss: z.enum(learnedOrigins),
        lots: z.number().int(),
        jars: z.number().int(),
        spread: z.enum(['strain', 'farm', 'usual']),
        ripening: z.enum(['learned', 'usual']),
        ripeningJars: z.number().int(),
      }),
    ),
    starts: z.array(nextStartSchema),
    /** Runs less likely covered than asked, with what limits them. */
    below: z.array(
      z.object({
        runId: idSchema,
        run: z.string(),
        day: calendarDaySchema,
        probability,
        limit: z.enum(limitKinds),
        limitWhere: z.string().nullable(),
        message: z.string(),
      }),
    ),
    impossible: z.array(z.object({ code: z.string(), subject: z.string(), message: z.string() })),
    pins: z.array(planPinSchema),
  })
  .meta({ id: 'PlanReview' });

export const newestReviewSchema = z
  .object({ review: planReviewSchema.nullable(), assurance: probability })
  .meta({ id: 'NewestReview' });

export const acceptPlanSchema = z.strictObject({ planId: idSchema }).meta({ id: 'AcceptPlan' });

export const changedFactKinds = [
  'run-added',
  'run-gone',
  'run-moved',
  'run-grams',
  'run-priority',
  'loss-rate',
  'days-to-ripe',
  'jars-growing',
  'jars-ripe',
  'jars-chilled',
  'rhythm',
] as const;

const startChangeSchema = z.object({
  benchDay: calendarDaySchema,
  strain: z.string(),
  generation: z.number().int(),
  size: z.string(),
  before: containers,
  now: containers,
});

const runStandingSchema = z.object({
  day: calendarDaySchema,
  coveredGrams: grams,
  probability: probability.nullable(),
});

const runChangeSchema = z.object({
  run: z.string(),
  before: runStandingSchema.nullable(),
  now: runStandingSchema.nullable(),
});

/** What is different from an earlier plan, and the facts that differ. */
export const planChangesSchema = z
  .object({
    before: z.object({ planId: idSchema, asOf: calendarDaySchema, cost: z.number() }),
    now: z.object({ planId: idSchema, asOf: calendarDaySchema, cost: z.number() }),
    starts: z.array(startChangeSchema),
    runs: z.array(runChangeSchema),
    why: z.array(
      z.object({
        kind: z.enum(changedFactKinds),
        /** A run's name or a strain's code. */
        subject: z.string().nullable(),
        before: z.union([z.number(), calendarDaySchema]).nullable(),
        now: z.union([z.number(), calendarDaySchema]).nullable(),
      }),
    ),
  })
  .meta({ id: 'PlanChanges' });

/** Null until there is an earlier plan to compare with. */
export const changesSinceSchema = z.object({ changes: planChangesSchema.nullable() }).meta({ id: 'ChangesSince' });

export const changesQuerySchema = z.strictObject({
  /** The newest plan made at least so many days before is compared with. */
  days: z.coerce.number().int().min(0).max(366).default(7),
});

export const suppositionSchema = z
  .discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('move-run'), runId: idSchema, day: calendarDaySchema }),
    z.strictObject({
      kind: z.literal('lose-jars'),
      codes: z.array(z.string().min(1).max(80)).min(1, 'Name at least one jar.').max(2000),
    }),
    z.strictObject({ kind: z.literal('lose-lot'), code: z.string().min(1).max(80) }),
    z.strictObject({ kind: z.literal('more-cycles'), cycles: z.number().int().min(-20).max(20) }),
    z.strictObject({ kind: z.literal('no-bench'), from: calendarDaySchema, until: calendarDaySchema }),
    z.strictObject({
      kind: z.literal('person-away'),
      staffId: idSchema.describe(
        'Somebody whose bench minutes are said; theirs fall out, the others do what they can.',
      ),
      from: calendarDaySchema,
      until: calendarDaySchema,
    }),
    z.strictObject({ kind: z.literal('fewer-hands'), containersPerDay: z.number().int().min(1).max(100_000) }),
  ])
  .meta({ id: 'Supposition' });

export const whatIfSchema = z
  .strictObject({ suppose: z.array(suppositionSchema).min(1, 'Suppose at least one thing.').max(10) })
  .meta({ id: 'WhatIf' });

/** The plan that stands can be set beside what is supposed. */
export const whatIfReadySchema = z.object({ ready: z.literal(true) }).meta({ id: 'WhatIfReady' });

/** The plan beside what it would be. Nothing is kept. */
export const whatIfAnswerSchema = z
  .object({
    starts: z.array(startChangeSchema),
    runs: z.array(runChangeSchema),
    costNow: z.number(),
    costIf: z.number(),
    currency: z.string(),
    /** Runs covered with the assurance asked for, of how many, now and if. */
    metNow: z.number().int(),
    metIf: z.number().int(),
    runsNow: z.number().int(),
    runsIf: z.number().int(),
    impossible: z.array(z.object({ code: z.string(), subject: z.string(), message: z.string() })),
  })
  .meta({ id: 'WhatIfAnswer' });

export type PlanReview = z.infer<typeof planReviewSchema>;
export type NewestReview = z.infer<typeof newestReviewSchema>;
export type PlanPin = z.infer<typeof planPinSchema>;
export type PinnedStart = z.infer<typeof pinnedStartSchema>;
export type Assurance = z.infer<typeof assuranceSchema>;
export type AcceptPlan = z.infer<typeof acceptPlanSchema>;
export type PlanChangesJson = z.infer<typeof planChangesSchema>;
export type ChangesSince = z.infer<typeof changesSinceSchema>;
export type ChangesQuery = z.infer<typeof changesQuerySchema>;
export type SuppositionJson = z.infer<typeof suppositionSchema>;
export type WhatIf = z.infer<typeof whatIfSchema>;
export type WhatIfReady = z.infer<typeof whatIfReadySchema>;
export type WhatIfAnswer = z.infer<typeof whatIfAnswerSchema>;
