import { BenchService, FirstStartService, Planner, PlanService, RunsService } from '@jarfold/server';
import { type Clock, type GrowerContext, systemClock, systemIds } from '@jarfold/server/platform';
import { makeGrower } from './growers.js';
import type { TestDatabase } from './test-database.js';

/** The services of a process, on a test database. */
export interface FarmServices {
  readonly planner: Planner;
  readonly plans: PlanService;
  readonly bench: BenchService;
  readonly runs: RunsService;
  readonly firstStart: FirstStartService;
}

/** @param planner the real one unless a test is about something else than how plans are made */
export function farmServices(
  { growerDb }: Pick<TestDatabase, 'growerDb'>,
  clock: Clock = systemClock,
  planner: Planner = new Planner(),
): FarmServices {
  const plans = new PlanService(growerDb, planner, clock);
  const bench = new BenchService(growerDb, clock, systemIds);
  const runs = new RunsService(growerDb, plans, clock);
  return { planner, plans, bench, runs, firstStart: new FirstStartService(growerDb, bench, plans, clock) };
}

/** A kitchen: one strain, six ripe jars, one run in five weeks, and its first plan. */
export async function makeSmallFarm(
  database: TestDatabase,
  services: FarmServices,
  runDay: string,
): Promise<GrowerContext & { readonly runId: string; readonly strainId: string }> {
  const { owner } = await makeGrower(database, 'Kitchen');
  const { runId, strainId } = await services.firstStart.start(owner, {
    strain: { speciesKey: 'pleurotus-ostreatus' },
    ripeJars: 6,
    run: { day: runDay as never, substrateWetKg: 40 },
  });
  return { ...owner, runId, strainId };
}
