import type { Week } from '@jarfold/contracts';
import {
  addDays,
  type CalendarDay,
  calendarDayAt,
  dayOfIsoWeek,
  formatIsoWeek,
  isoWeek,
  mondayOf,
  weekOfPlan,
  weekTotals,
} from '@jarfold/domain';
import { newestFacts } from '../plan/index.js';
import type { Clock, GrowerContext, GrowerDb, GrowerTx } from '../platform/index.js';
import { coverageOfRuns, listRuns } from '../runs/index.js';
import { type FarmNames, jarsByCodes, readFarmNames } from '../stock/index.js';
import { sourcesOf, type WeekNames, weekContent } from './week.mapper.js';

/** One week of the newest plan as work to do. */
export class WeekService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /** @param week ISO 8601 such as 2026-W48; null: the week of the farm's today */
  async week(ctx: GrowerContext, week: string | null): Promise<Week> {
    return this.growerDb.read(ctx, async (tx) => {
      const farm = await readFarmNames(tx, ctx.growerId);
      const today = calendarDayAt(this.clock.now().getTime(), farm.settings.timeZone);
      return weekIn(tx, ctx, farm, today, week === null ? today : dayOfIsoWeek(week));
    });
  }
}

async function weekIn(
  tx: GrowerTx,
  ctx: GrowerContext,
  farm: FarmNames,
  today: CalendarDay,
  day: CalendarDay,
): Promise<Week> {
  const { plan, current } = await newestFacts(tx, ctx);
  const monday = mondayOf(day);
  const frame = {
    ...{ week: formatIsoWeek(isoWeek(day)), monday, sunday: addDays(monday, 6), today },
    freshness: current ? ('current' as const) : ('being-made' as const),
  };
  if (plan === null) return { ...frame, planId: null, planAsOf: null, ...NOTHING };
  const cut = weekOfPlan(plan.plan, day);
  const runs = await listRuns(tx, ctx.growerId, { state: 'planned' });
  const names: WeekNames = {
    ...{ farm, plan: plan.plan },
    coverage: await coverageOfRuns(tx, ctx.growerId, plan, runs),
    runs: new Map(runs.map((run) => [run.id, run])),
    jars: new Map((await jarsByCodes(tx, ctx.growerId, sourcesOf(cut))).map((jar) => [jar.code, jar])),
  };
  const content = weekContent(cut, names);
  return { ...frame, planId: plan.id, planAsOf: plan.plan.asOf, ...content, totals: weekTotals(content) };
}

const NOTHING = {
  benchDays: [],
  preparations: [],
  cultures: [],
  moves: [],
  runs: [],
  shortages: [],
  stranded: [],
  impossible: [],
  totals: { starts: 0, cycles: 0, dryGrainG: 0, cookingWaterMl: 0 },
} satisfies Partial<Week>;
