import { daysBetween } from '../calendar/calendar-day.js';
import { policyHorizonDays } from './jarfold-policy.js';
import type { Policy } from './policy.js';
import type { SeasonFarm } from './season-farm.js';
import type { SeasonRunResult, SeasonTotals } from './world/season-totals.js';
import { SeasonWorld } from './world/season-world.js';

/** A statement of how likely a run is covered, so many days before it, and what came of it. */
export interface Statement {
  readonly run: string;
  readonly daysBefore: number;
  readonly probability: number;
  readonly covered: boolean;
}

export interface Season {
  readonly farm: string;
  readonly seed: number;
  readonly policy: string;
  readonly runs: number;
  readonly coveredOnTheDay: number;
  readonly uncovered: readonly string[];
  readonly totals: SeasonTotals;
  readonly cost: number;
  readonly statements: readonly Statement[];
}

/** Lives a season under a policy. The same farm, seed and policy give the same season. */
export async function liveSeason(farm: SeasonFarm, seed: number, policy: Policy): Promise<Season> {
  const world = new SeasonWorld(farm, seed);
  const stated: { readonly run: string; readonly day: number; readonly probability: number }[] = [];
  for (let week = 0; week < farm.weeks; week += 1) {
    const morning = world.morning(week * 7, policyHorizonDays);
    const decision = await policy.decide(morning);
    for (const { run, probability } of decision.stated) stated.push({ run, day: week * 7, probability });
    world.live(week * 7, 7, decision);
  }
  world.end();
  return told(farm, seed, policy.name, world, stated);
}

function told(
  farm: SeasonFarm,
  seed: number,
  policy: string,
  world: SeasonWorld,
  stated: readonly { readonly run: string; readonly day: number; readonly probability: number }[],
): Season {
  const results = new Map(world.results.map((result) => [result.run, result]));
  const uncovered = world.results.filter(({ covered }) => !covered).map(({ run }) => run);
  const statements = stated.flatMap(({ run, day, probability }) => {
    const result: SeasonRunResult | undefined = results.get(run);
    return result ? [{ run, daysBefore: result.day - day, probability, covered: result.covered }] : [];
  });
  return {
    farm: farm.name,
    seed,
    policy,
    runs: world.results.length,
    coveredOnTheDay: world.results.length - uncovered.length,
    uncovered,
    totals: world.totals,
    cost: Object.values(world.totals.cost).reduce((sum, part) => sum + part, 0),
    statements,
  };
}

/** Days of a farm's season within which a run lies, for who counts runs. */
export function seasonDay(farm: SeasonFarm, run: SeasonFarm['runs'][number]['run']): number {
  return daysBetween(farm.start.asOf, run.day);
}
