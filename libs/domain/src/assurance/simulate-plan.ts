import { requireThat } from '../errors.js';
import type { SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import type { FarmChance } from './farm-chance.js';
import { Luck } from './luck.js';
import { simulatedFarm } from './simulated-farm.js';
import { StrainDraws } from './strain-draws.js';

export interface DrawOptions {
  /** How many times the plan is lived through. 2,000 give a standard error of at most 1.1 points. */
  readonly draws: number;
  readonly seed: number;
}

/** How likely a run is covered, as the draws have it. */
export interface RunChance {
  readonly run: string;
  /** Probability that it gets at least its minimum, on its day. */
  readonly probability: number;
  /** Monte Carlo standard error of that. */
  readonly standardError: number;
  /** Probability that it gets its whole target. */
  readonly fullProbability: number;
  /** Grams it is expected to lack of its minimum. */
  readonly expectedShortGrams: number;
}

export interface PlanChance {
  readonly draws: number;
  readonly seed: number;
  /** In the order of the plan's runs; a run that cannot be planned has probability 0. */
  readonly runs: readonly RunChance[];
  /** Ripe grams expected to grow too old within the horizon. */
  readonly expectedAgedOutGrams: number;
}

export const usualDraws = 2000;

/**
 * Lives a plan through many times: lots lose containers and ripen as chance has it, and in each draw what there is goes to
 * what needs it first expired first out. What the plan keeps for mothering is kept for it. A run takes from the strain the
 * plan chose for it. The same plan, chance and options give the same numbers.
 * @param luck of the draws and seed, where it is needed again
 * @throws DomainError `draws-out-of-range`, `chance-not-valid`, `situation-not-valid`
 */
export function simulatePlan(
  situation: FarmSituation,
  plan: SpawnPlan,
  chance: FarmChance,
  { draws, seed }: DrawOptions = { draws: usualDraws, seed: 1 },
  luck: Luck = new Luck(seed, draws),
): PlanChance {
  requireThat(
    Number.isInteger(draws) && draws >= 1 && draws <= 100_000,
    'draws-out-of-range',
    `A plan is lived through 1 to 100,000 times, not ${draws}.`,
    { value: draws },
  );
  const farm = simulatedFarm(situation, plan, chance);
  const known = new Map<string, RunChance>();
  let expectedAgedOutGrams = 0;
  for (const strain of farm.strains) {
    const outcome = new StrainDraws(farm, strain, luck).run();
    expectedAgedOutGrams += outcome.agedOutGrams;
    strain.runs.forEach(({ id }, place) => {
      const probability = outcome.covered[place]! / draws;
      known.set(id, {
        run: id,
        probability,
        standardError: Math.sqrt((probability * (1 - probability)) / draws),
        fullProbability: outcome.full[place]! / draws,
        expectedShortGrams: outcome.shortGrams[place]!,
      });
    });
  }
  const runs = plan.runs.map((run) => known.get(run.run) ?? neverCovered(run));
  return { draws, seed, runs, expectedAgedOutGrams };
}

function neverCovered({ run, minGrams }: SpawnPlan['runs'][number]): RunChance {
  const [probability, fullProbability] = minGrams > 0 ? [0, 0] : [1, 1];
  return { run, probability, standardError: 0, fullProbability, expectedShortGrams: minGrams };
}
