import type { LimitKind, SpawnPlan } from '@jarfold/domain';
import { z } from 'zod';
import { calendarDaySchema } from './calendar-day.js';

/**
 * The plan as it leaves Jarfold: on the command line with `--json`, and over HTTP. Masses are grams of ripe spawn,
 * containers are whole, money is the farm's own.
 */
const grams = z.number().nonnegative();
const money = z.number();
const wholeCount = z.number().int().nonnegative();

/** What keeps a run from its target. */
export const limitKinds = [
  'time',
  'mothers',
  'generation',
  'bench',
  'steriliser',
  'incubation-places',
  'cold-places',
  'clean-containers',
  'storage-life',
  'culture',
  'cost',
] as const satisfies readonly LimitKind[];

export const planStartSchema = z
  .object({
    /** Named by later starts and uses that draw from it. */
    id: z.string(),
    benchDay: calendarDaySchema,
    strain: z.string(),
    generation: wholeCount,
    size: z.string(),
    containers: wholeCount,
    /** A container on hand by its code, or an earlier start or culture by its id. */
    mothers: z.array(z.object({ code: z.string(), grams })),
    feeds: z.array(z.object({ run: z.string(), grams })),
    mothersLaterGrams: grams,
    reserveGrams: grams,
    ripeOn: calendarDaySchema,
    lastSafeDay: calendarDaySchema,
  })
  .meta({ id: 'PlanStart' });

export const planRunSchema = z
  .object({
    run: z.string(),
    day: calendarDaySchema,
    strain: z.string(),
    minGrams: grams,
    targetGrams: grams,
    coveredGrams: grams,
    probability: z.number().min(0).max(1).nullable(),
    limit: z.enum(limitKinds).nullable(),
    /** The bench day, room or size where the limit binds. */
    limitWhere: z.string().nullable(),
    /** English: the limit and the smallest thing that would lift it. */
    limitMessage: z.string().nullable(),
  })
  .meta({ id: 'PlanRun' });

export const planJsonSchema = z
  .object({
    asOf: calendarDaySchema,
    starts: z.array(planStartSchema),
    preparations: z.array(
      z.object({
        day: calendarDaySchema,
        benchDay: calendarDaySchema,
        cycles: wholeCount,
        containers: z.array(z.object({ size: z.string(), count: wholeCount })),
      }),
    ),
    cultures: z.array(
      z.object({
        id: z.string(),
        strain: z.string(),
        orderBy: calendarDaySchema,
        readyOn: calendarDaySchema,
        units: z.number().nonnegative(),
      }),
    ),
    moves: z.array(
      z.object({
        day: calendarDaySchema,
        kind: z.enum(['chill', 'warm']),
        from: z.string(),
        containers: z.number().nonnegative(),
      }),
    ),
    /** Grams into runs. Grams into new containers stand with their start, as `mothers`. */
    uses: z.array(
      z.object({
        day: calendarDaySchema,
        from: z.string(),
        run: z.string(),
        grams,
        cold: z.boolean(),
        /** Containers opened on this day for it; 0 when the grams come from opened ones. */
        opened: z.number().nonnegative(),
      }),
    ),
    runs: z.array(planRunSchema),
    stranded: z.array(z.object({ code: z.string(), grams, expires: calendarDaySchema })),
    /** What the plan throws away: containers that grow too old, and the rest of opened ones (`containers` 0). */
    discards: z.array(
      z.object({ day: calendarDaySchema, from: z.string(), containers: z.number().nonnegative(), grams }),
    ),
    /** From `from` until before `until` the strain lacks so many ripe mothers of its reserve. */
    reserveGaps: z.array(
      z.object({
        strain: z.string(),
        from: calendarDaySchema,
        until: calendarDaySchema,
        missing: z.number().nonnegative(),
      }),
    ),
    impossible: z.array(z.object({ code: z.string(), subject: z.string(), message: z.string() })),
    cost: z.number(),
    /** The cost by what it is for; the parts add up to it. */
    costParts: z.object({
      containers: money,
      cycles: money,
      cultures: money,
      chilling: money,
      agedOut: money,
      short: money,
      belowTarget: money,
      generation: money,
      age: money,
      secondChoice: money,
      mothersMissing: money,
      /** Containers started more or fewer than accepted; left out when nothing was accepted. */
      changes: money.optional(),
    }),
    bound: z.number(),
    gap: z.number(),
    exact: z.boolean(),
    solveMs: z.number().nonnegative(),
  })
  .meta({ id: 'Plan' });

export type PlanStartJson = z.infer<typeof planStartSchema>;
export type PlanRunJson = z.infer<typeof planRunSchema>;
export type PlanJson = z.infer<typeof planJsonSchema>;

/**
 * The plan in the form the contract fixes.
 * @param solveMs how long the planner took, in milliseconds; the caller owns the clock.
 */
export function planToJson(plan: SpawnPlan, solveMs: number): PlanJson {
  return {
    asOf: plan.asOf,
    starts: plan.starts.map(startToJson),
    preparations: plan.preparations.map(({ containers, ...rest }) => ({
      ...rest,
      containers: containers.map(({ sizeId, count }) => ({ size: sizeId, count })),
    })),
    cultures: plan.cultures.map(({ strainId, ...rest }) => ({ ...rest, strain: strainId })),
    moves: plan.moves.map((move) => ({ ...move })),
    uses: plan.uses.flatMap(({ day, from, grams, to, cold, opened }) =>
      to.kind === 'run' ? [{ day, from, run: to.run, grams, cold, opened }] : [],
    ),
    runs: plan.runs.map(runToJson),
    stranded: plan.stranded.map((container) => ({ ...container })),
    discards: plan.discards.map((discard) => ({ ...discard })),
    reserveGaps: plan.reserveGaps.map(({ strainId, ...rest }) => ({ ...rest, strain: strainId })),
    impossible: plan.impossible.map((item) => ({ ...item })),
    cost: plan.cost,
    costParts: { ...plan.costParts },
    bound: plan.bound,
    gap: plan.gap,
    exact: plan.exact,
    solveMs,
  };
}

function startToJson({ strainId, sizeId, mothers, feeds, ...rest }: SpawnPlan['starts'][number]): PlanStartJson {
  return {
    ...rest,
    strain: strainId,
    size: sizeId,
    mothers: mothers.map((mother) => ({ ...mother })),
    feeds: feeds.map((feed) => ({ ...feed })),
  };
}

function runToJson({ strainId, limit, ...rest }: SpawnPlan['runs'][number]): PlanRunJson {
  return {
    ...rest,
    strain: strainId,
    limit: limit?.kind ?? null,
    limitWhere: limit?.where ?? null,
    limitMessage: limit?.message ?? null,
  };
}
