import { addDays } from '../calendar/calendar-day.js';
import { requireThat } from '../errors.js';
import type { BindingLimit, RunCoverage, SpawnPlan } from '../planning/plan.js';
import type { PlanOptions } from '../planning/plan-spawn.js';
import { evaluationsFor } from '../planning/search-effort.js';
import type { FarmSituation } from '../planning/situation.js';
import { type AssuredCandidate, AssuredPlanning } from './assured-planning.js';
import type { FarmChance } from './farm-chance.js';
import { idOf } from './held-starts.js';
import { KeptLuck } from './kept-luck.js';
import { type PlanChance, simulatePlan, usualDraws } from './simulate-plan.js';
import { type StartWeight, weighStarts } from './weigh-starts.js';

export interface AssuranceOptions extends PlanOptions {
  /** Probability with which every run shall be covered, 0 to below 1. */
  readonly assurance?: number;
  /** Draws the probabilities are told from. */
  readonly draws?: number;
  readonly seed?: number;
  /** Draws each try of the search is judged by; fewer than are told from, on other luck. */
  readonly searchDraws?: number;
  /** Sets of starts to try out. */
  readonly trials?: number;
  /** Share of the planner's usual search for the plan that chance is let loose on. */
  readonly searchShare?: number;
  /** Numbers of luck that are kept from one plan to the next; they change no plan. */
  readonly keptLuck?: KeptLuck;
}

/** A run that is less likely covered than the grower asks, and why no more can be done. */
export interface BelowAssurance {
  readonly run: string;
  readonly probability: number;
  readonly limit: BindingLimit;
}

export interface PlanAssurance {
  readonly asked: number;
  readonly draws: number;
  readonly seed: number;
  readonly runs: PlanChance['runs'];
  readonly below: readonly BelowAssurance[];
  readonly expectedAgedOutGrams: number;
  /** For each start of the next two weeks, what skipping it would do. */
  readonly starts: readonly StartWeight[];
}

/** A plan that was lived through by chance: every run carries its probability. */
export interface AssuredPlan extends SpawnPlan {
  readonly assurance: PlanAssurance;
}

export const usualAssurance = 0.95;
/** Judged by so many draws, a step of a point of probability can be told from chance on the same luck. */
const SEARCH_DRAWS = 250;
const TRIALS = 800;
/** The starts the planner finds are weighed again by chance, so that a part of its usual search will do. */
const SEARCH_SHARE = 0.3;
/** Starts of so many days are explained by what skipping them would do. */
const WEIGHED_DAYS = 14;
/** The luck a plan is chosen on must not be the luck it is told from: it would look better than it is. */
const OTHER_LUCK = 0x5eed;

/**
 * Plans, lives the plan through by chance, and raises, shifts and trims starts until every run is covered with the
 * assurance asked for or the limit that prevents it is known; then places what was chosen within all limits. What is
 * prepared or pinned stays. The same situation, chance and options give the same plan.
 * @throws DomainError `assurance-out-of-range`, `chance-not-valid`, `situation-not-valid`
 */
export async function planWithAssurance(
  situation: FarmSituation,
  chance: FarmChance,
  options: AssuranceOptions = {},
): Promise<AssuredPlan> {
  const { assurance = usualAssurance, draws = usualDraws, seed = 1, ...rest } = options;
  requireThat(
    assurance >= 0 && assurance < 1,
    'assurance-out-of-range',
    `An assurance is a probability from 0 to below 1, not ${assurance}.`,
    { value: assurance },
  );
  const { searchDraws = SEARCH_DRAWS, trials = TRIALS, searchShare = SEARCH_SHARE, ...more } = rest;
  const { keptLuck = new KeptLuck(), onlyCompared = false, ...asked } = more;
  const evaluations = Math.round(searchShare * evaluationsFor(situation.runs.length));
  const planOptions = { evaluations, onlyCompared, ...asked };
  const search = { assurance, draws: searchDraws, seed: seed ^ OTHER_LUCK, trials, held: heldStarts(situation) };
  const { plan, limitOf } = await new AssuredPlanning(situation, chance, search, planOptions, keptLuck).best();
  const luck = keptLuck.luck(seed, draws);
  const lived = simulatePlan(situation, plan, chance, { draws, seed }, luck);
  if (onlyCompared) return withChance(plan, () => null, lived, { asked: assurance, draws, seed, starts: [] });
  const before = addDays(situation.asOf, WEIGHED_DAYS);
  const fewer = { draws: searchDraws, seed };
  const starts = weighStarts(situation, plan, chance, before, fewer, luck.first(searchDraws));
  return withChance(plan, limitOf, lived, { asked: assurance, draws, seed, starts });
}

function heldStarts(situation: FarmSituation): Set<string> {
  const held = (situation.standing ?? []).filter(({ hold }) => hold !== 'accepted');
  return new Set(held.map(idOf));
}

function withChance(
  plan: SpawnPlan,
  limitOf: AssuredCandidate['limitOf'],
  lived: PlanChance,
  assurance: Pick<PlanAssurance, 'asked' | 'draws' | 'seed' | 'starts'>,
): AssuredPlan {
  const runs = plan.runs.map((run, place): RunCoverage => ({ ...run, probability: lived.runs[place]!.probability }));
  const below = lived.runs.flatMap(({ run, probability, standardError }, place): BelowAssurance[] => {
    if (probability >= assurance.asked - 2 * standardError - 1e-9) return [];
    const limit = plan.runs[place]!.limit ?? limitOf(run) ?? UNTOLD;
    return [{ run, probability, limit }];
  });
  const { expectedAgedOutGrams } = lived;
  return {
    ...plan,
    runs,
    assurance: { ...assurance, runs: lived.runs, below, expectedAgedOutGrams },
  };
}

const UNTOLD: BindingLimit = {
  kind: 'cost',
  where: null,
  message: 'Shelves and clean containers leave no room for the starts that would make it safer.',
};
