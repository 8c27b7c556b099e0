import { addDays, calendarDay } from '@jarfold/domain';
import { checkPlan, type FarmSituation, planSpawn } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from './planning-kitchen.js';

/**
 * Every plan of a tiny farm, tried one by one: one strain made from culture only, so that a plan is how many jars start on
 * each bench day and which run each ripe jar is opened for. Written from the rules, not from the planner.
 */
interface Tiny {
  readonly startDays: readonly number[];
  readonly runs: readonly { readonly day: number; readonly min: number; readonly target: number }[];
  readonly most: number;
  readonly grams: number;
  readonly daysToRipe: number;
  readonly warmLifeDays: number;
  readonly perCycle: number;
}

const COST = { container: 1.5, cycle: 3, aged: 0.002, short: 0.06, below: 0.03, generation: 0.0001, day: 0.00002 };
const HORIZON = 40;

function cheapest(tiny: Tiny): number {
  let best = Number.POSITIVE_INFINITY;
  for (const counts of tuples(tiny.startDays.length, tiny.most)) best = Math.min(best, cheapestUse(tiny, counts));
  return best;
}

/** The cheapest way to open the jars of given starts: for each jar a run within its life, or none. */
function cheapestUse(tiny: Tiny, counts: readonly number[]): number {
  const jars = counts.flatMap((count, place) =>
    Array.from({ length: count }, () => tiny.startDays[place]! + tiny.daysToRipe),
  );
  const fixed =
    jars.length * COST.container +
    counts.reduce((sum, count) => sum + Math.ceil(count / tiny.perCycle) * COST.cycle, 0);
  let best = Number.POSITIVE_INFINITY;
  const assign = (jar: number, opened: readonly number[], cost: number): void => {
    if (cost >= best) return;
    if (jar === jars.length) {
      best = Math.min(best, cost + runCost(tiny, opened));
      return;
    }
    const ripe = jars[jar]!;
    const until = ripe + tiny.warmLifeDays;
    assign(jar + 1, opened, cost + (until < HORIZON ? tiny.grams * COST.aged : 0));
    tiny.runs.forEach((run, place) => {
      if (run.day < ripe || run.day > until) return;
      const next = opened.map((count, at) => (at === place ? count + 1 : count));
      assign(jar + 1, next, cost + tiny.grams * COST.day * (run.day - ripe));
    });
  };
  assign(
    0,
    tiny.runs.map(() => 0),
    fixed,
  );
  return best;
}

/** Grams opened for a run go in up to its maximum (1.2 × target) as far as that is worth it; the rest is thrown away. */
function runCost(tiny: Tiny, opened: readonly number[]): number {
  return tiny.runs.reduce((sum, run, place) => {
    const given = opened[place]! * tiny.grams;
    const wanted = COST.aged > COST.generation ? run.target * 1.2 : run.target;
    const used = Math.min(given, wanted);
    const short = Math.max(0, run.min - used);
    const below = Math.max(0, run.target - Math.max(run.min, used));
    return sum + short * COST.short + below * COST.below + used * COST.generation + (given - used) * COST.aged;
  }, 0);
}

function tuples(length: number, most: number): number[][] {
  if (length === 0) return [[]];
  return tuples(length - 1, most).flatMap((head) => Array.from({ length: most + 1 }, (_, last) => [...head, last]));
}

function farmOf(tiny: Tiny): FarmSituation {
  const base = kitchen();
  const asOf = calendarDay('2026-11-25');
  const closed = Array.from({ length: HORIZON + 1 }, (_, day) => day).filter((day) => !tiny.startDays.includes(day));
  return kitchen({
    horizonDays: HORIZON,
    rhythm: {
      ...base.rhythm,
      benchWeekdays: [1, 2, 3, 4, 5, 6, 7],
      closedDays: closed.map((day) => addDays(asOf, day)),
      benchContainersPerDay: tiny.most,
      vesselPlaces: tiny.perCycle,
      cyclesPerPreparationDay: 9,
      preparationLeadDays: 0,
      openedLifeDays: 0,
    },
    strains: [
      {
        ...base.strains[0]!,
        daysToRipe: tiny.daysToRipe,
        warmLifeDays: tiny.warmLifeDays,
        mayBeChilled: false,
        lastGeneration: 1,
      },
    ],
    sizes: [{ ...base.sizes[0]!, ripeGrams: tiny.grams }],
    stock: [stockJar({ code: 'culture', generation: 0, gramsLeft: 5000 })],
    rooms: [],
    runs: tiny.runs.map((run, place) => ({
      id: `run-${place}`,
      day: addDays(asOf, run.day),
      strainIds: ['oyster'],
      minGrams: run.min,
      targetGrams: run.target,
      maxGrams: run.target * 1.2,
      priority: 1,
      slackDays: 0,
    })),
  });
}

const cases: Tiny[] = [
  {
    startDays: [3, 7, 11],
    runs: [
      { day: 20, min: 800, target: 1000 },
      { day: 27, min: 500, target: 900 },
    ],
    most: 3,
    grams: 500,
    daysToRipe: 12,
    warmLifeDays: 9,
    perCycle: 2,
  },
  {
    startDays: [2, 9, 16],
    runs: [
      { day: 15, min: 400, target: 700 },
      { day: 22, min: 600, target: 650 },
      { day: 30, min: 300, target: 900 },
    ],
    most: 3,
    grams: 420,
    daysToRipe: 13,
    warmLifeDays: 6,
    perCycle: 3,
  },
  {
    startDays: [1, 4],
    runs: [
      { day: 12, min: 1200, target: 1500 },
      { day: 13, min: 100, target: 300 },
    ],
    most: 4,
    grams: 450,
    daysToRipe: 8,
    warmLifeDays: 5,
    perCycle: 2,
  },
  {
    startDays: [5, 10, 15],
    runs: [
      { day: 18, min: 90, target: 100 },
      { day: 31, min: 700, target: 720 },
    ],
    most: 3,
    grams: 610,
    daysToRipe: 12,
    warmLifeDays: 20,
    perCycle: 1,
  },
];

describe('every plan of a tiny farm tried', () => {
  it.each(cases.map((tiny, place) => [place + 1, tiny] as const))(
    'finds none cheaper than the planner in case %i',
    async (_, tiny) => {
      const farm = farmOf(tiny);
      const plan = await planSpawn(farm, { exact: 'always', guardMs: 60_000 });
      expect(checkPlan(farm, plan).faults).toEqual([]);
      expect(plan.exact).toBe(true);
      expect(plan.cost).toBeCloseTo(cheapest(tiny), 3);
    },
  );
});
