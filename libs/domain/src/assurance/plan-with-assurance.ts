import { addDays } from '../calendar/calendar-day.js';
import { requireThat } from '../errors.js';
import { acceptSituation } from '../planning/accept-situation.js';
import { startId } from '../planning/pegged-plan.js';
import type { BindingLimit, RunCoverage, SpawnPlan } from '../planning/plan.js';
import { type PlanOptions, planSpawn } from '../planning/plan-spawn.js';
import { evaluationsFor } from '../planning/search-effort.js';
import type { FarmSituation, StandingStart } from '../planning/situation.js';
import type { AssuranceSearch } from './assurance-search.js';
import { type AssuredStarts, assureStarts } from './assured-starts.js';
import { withCarefulLives } from './careful-lives.js';
import { changesCost } from './changes-cost.js';
import type { FarmChance } from './farm-chance.js';
import { planWorth } from './plan-worth.js';
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
/** Of that, where a plan stands that can be mended. */
const SHARE_BESIDE_STANDING = 0.5;
/** Starts of so many days are explained by what skipping them would do. */
const WEIGHED_DAYS = 14;
/** A plan is changed for so much of what it comes to, and not for less: nobody trusts a plan that changes every day. */
const WORTH_CHANGING = 0.01;
/** A little more than it saves not to start a container. */
const KEPT_SHARE = 1.1;
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
  const { searchDraws = SEARCH_DRAWS, trials = TRIALS, searchShare = SEARCH_SHARE, ...asked } = rest;
  const share = searchShare * (situation.standing?.length ? SHARE_BESIDE_STANDING : 1);
  const planOptions = { evaluations: Math.round(share * evaluationsFor(situation.runs.length)), ...asked };
  const search = { assurance, draws: searchDraws, seed: seed ^ OTHER_LUCK, trials, held: heldStarts(situation) };
  const { plan, assured } = await new AssuredPlanning(situation, chance, search, planOptions).best();
  const lived = simulatePlan(situation, plan, chance, { draws, seed });
  const before = addDays(situation.asOf, WEIGHED_DAYS);
  const starts = weighStarts(situation, plan, chance, before, { draws: searchDraws, seed });
  return withChance(plan, assured, lived, { asked: assurance, draws, seed, starts });
}

interface Candidate {
  readonly plan: SpawnPlan;
  readonly assured: AssuredStarts;
}

/** Keeps to the plan that stands, unless mending it or another is worth the change by chance. */
class AssuredPlanning {
  private readonly situation: FarmSituation;
  private readonly careful: FarmSituation;
  private readonly chance: FarmChance;
  private readonly search: AssuranceSearch;
  private readonly options: PlanOptions;

  constructor(situation: FarmSituation, chance: FarmChance, search: AssuranceSearch, options: PlanOptions) {
    this.situation = situation;
    this.careful = withCarefulLives(situation, chance);
    this.chance = chance;
    this.search = search;
    this.options = options;
  }

  async best(): Promise<Candidate> {
    const expected = await planSpawn(keptUnlessWorthIt(this.careful), this.options);
    const fresh = await this.assured(expected);
    const stood = await this.stood(expected);
    if (stood === null) return fresh;
    const mended = await this.assured(stood);
    const asItStands = withChangesCounted(this.situation, stood);
    const [standing, mending, other] = [asItStands, mended.plan, fresh.plan].map((plan) => this.worthOf(plan)) as [
      number,
      number,
      number,
    ];
    if (standing * (1 - WORTH_CHANGING) <= Math.min(mending, other)) return { ...mended, plan: asItStands };
    return mending <= other ? mended : fresh;
  }

  /** The plan as it stands; null when there is none or it can no longer be made. */
  private async stood({ bound }: SpawnPlan): Promise<SpawnPlan | null> {
    const { standing = [] } = this.situation;
    if (!standing.some(({ hold }) => hold === 'accepted')) return null;
    const held = standing.map(
      (start): StandingStart => (start.hold === 'accepted' ? { ...start, hold: 'pinned' } : start),
    );
    const costs = { ...this.careful.costs, perContainerChanged: 0 };
    const stood = { ...this.careful, costs, standing: held };
    const plan = await planSpawn(stood, { ...this.options, onlyStanding: true });
    if (!Number.isFinite(plan.cost)) return null;
    return { ...plan, bound, exact: false, impossible: acceptedRemarks(this.situation, plan) };
  }

  private async assured(expected: SpawnPlan): Promise<Candidate> {
    const assured = assureStarts(this.situation, expected, this.chance, this.search);
    const plan = assured.changed ? await placed(this.careful, expected, assured, this.options) : expected;
    return { plan: withChangesCounted(this.situation, plan), assured };
  }

  private worthOf(plan: SpawnPlan): number {
    return planWorth(this.situation, plan, this.chance, this.search);
  }
}

/**
 * What stands was assured: jars that only chance asks for are not given up because nothing is expected to go wrong. The
 * search by chance gives them up itself when they are worth it.
 */
function keptUnlessWorthIt(situation: FarmSituation): FarmSituation {
  const { costs, standing = [] } = situation;
  if (standing.length === 0) return situation;
  const perContainerChanged = Math.max(costs.perContainerChanged ?? 0, KEPT_SHARE * costs.perContainerStarted);
  return { ...situation, costs: { ...costs, perContainerChanged } };
}

/** The same plan with the starts that were chosen, everything else placed anew around them. */
async function placed(
  situation: FarmSituation,
  expected: SpawnPlan,
  { starts }: AssuredStarts,
  options: PlanOptions,
): Promise<SpawnPlan> {
  const held = (situation.standing ?? []).filter(({ hold }) => hold !== 'accepted');
  const isHeld = (start: AssuredStarts['starts'][number]) => held.some((each) => idOf(each) === idOf(start));
  const chosen = starts.filter((start) => !isHeld(start)).map((start): StandingStart => ({ ...start, hold: 'pinned' }));
  // What is chosen here is no change of its own; changes are counted below against what stood before.
  const costs = { ...situation.costs, perContainerChanged: 0 };
  const standing = [...held, ...chosen];
  const laid = await planSpawn({ ...situation, costs, standing }, { ...options, onlyStanding: true });
  // Shelves or clean containers may have no room for all that was chosen; then what is expected is the better plan.
  if (!Number.isFinite(laid.cost)) return expected;
  // The bound is that of the plan without assurance: assurance is bought, not planned for.
  return { ...laid, bound: expected.bound, exact: false, impossible: acceptedRemarks(situation, laid) };
}

/** The plan with what its changes cost as the farm has it, whatever they weighed while it was looked for. */
function withChangesCounted(situation: FarmSituation, plan: SpawnPlan): SpawnPlan {
  const changes = changesCost(situation, plan.starts);
  const cost = plan.cost - (plan.costParts.changes ?? 0) + changes;
  const bound = Math.min(plan.bound, cost);
  const gap = cost > 0 ? Math.max(0, (cost - bound) / cost) : 0;
  const costParts = (situation.standing ?? []).length === 0 ? plan.costParts : { ...plan.costParts, changes };
  return { ...plan, cost, costParts, bound, gap };
}

/** What the farm itself held and what it cannot honour; a start chosen here that found no room is no remark of its own. */
function acceptedRemarks(situation: FarmSituation, plan: SpawnPlan): SpawnPlan['impossible'] {
  const own = new Set((situation.standing ?? []).map(idOf));
  const known = new Set(acceptSituation(situation).impossible.map(({ code, subject }) => `${code}|${subject}`));
  return plan.impossible.filter(
    ({ code, subject }) => code !== 'held-start-not-possible' || own.has(subject) || known.has(`${code}|${subject}`),
  );
}

function heldStarts(situation: FarmSituation): Set<string> {
  const held = (situation.standing ?? []).filter(({ hold }) => hold !== 'accepted');
  return new Set(held.map(idOf));
}

function idOf({ benchDay, strainId, generation, sizeId }: Omit<StandingStart, 'containers' | 'hold'>): string {
  return startId(benchDay, strainId, generation, sizeId);
}

function withChance(
  plan: SpawnPlan,
  { limits }: AssuredStarts,
  lived: PlanChance,
  assurance: Pick<PlanAssurance, 'asked' | 'draws' | 'seed' | 'starts'>,
): AssuredPlan {
  const runs = plan.runs.map((run, place): RunCoverage => ({ ...run, probability: lived.runs[place]!.probability }));
  const below = lived.runs.flatMap(({ run, probability, standardError }, place): BelowAssurance[] => {
    if (probability >= assurance.asked - 2 * standardError - 1e-9) return [];
    const limit = plan.runs[place]!.limit ?? limits.get(run) ?? UNTOLD;
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
