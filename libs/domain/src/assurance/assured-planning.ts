import type { SpawnPlan } from '../planning/plan.js';
import { boundBelowPlans, type PlanOptions, planSpawn } from '../planning/plan-spawn.js';
import type { FarmSituation, StandingStart } from '../planning/situation.js';
import type { AssuranceSearch } from './assurance-search.js';
import { type AssuredStarts, assureStarts } from './assured-starts.js';
import { benchHasRoom } from './bench-room.js';
import { withCarefulLives } from './careful-lives.js';
import { changesCost, StandingWeights } from './changes-cost.js';
import type { FarmChance } from './farm-chance.js';
import { idOf, remarksOf } from './held-starts.js';
import { KeptLuck } from './kept-luck.js';
import type { Luck } from './luck.js';
import { makingCost, planWorth } from './plan-worth.js';
import { missingWeight } from './strain-trials.js';

/** A plan, and what keeps its runs below their assurance. */
export interface AssuredCandidate {
  readonly plan: SpawnPlan;
  readonly limitOf: AssuredStarts['limitOf'];
}

interface Found extends AssuredCandidate {
  /** The plan that was free to start anything, from which the bound and the limits are told. */
  readonly free: SpawnPlan;
}

type Starts = AssuredStarts['starts'];

interface PlanningOptions extends PlanOptions {
  /** The planner's search for a plan from nothing. */
  readonly evaluations: number;
  /**
   * The plan shall only stand beside another: it is mended once, by a short search, and not until it is at rest, and its
   * limits are not told. Only what stands is searched as a whole: a plan at rest for the whole search may not be for a
   * short one, and then more would change than was asked.
   */
  readonly onlyCompared: boolean;
}

/** Of the planner's search, where a plan stands: it is looked for near that too. */
const SHARE_BESIDE_STANDING = 0.5;
/** A plan is changed for so much of what making it costs, not for less: nobody trusts a plan that changes every day. */
const WORTH_CHANGING = 0.01;
/** And for so much more of one usual run's assurance: draws tell it no more finely. */
const ASSURANCE_WORTH_CHANGING = 0.015;
/** A little more than it saves not to start a container. */
const KEPT_SHARE = 1.1;
/** Every mending makes a plan better by more than the least that counts, so it comes to rest: mostly at once, on tight farms late. */
const MENDINGS_TO_REST = 40;
/** Of the trials of a whole search, those of a short one. */
const SHORT_SEARCH = 0.25;
/** Fewer are started for want of mothers, then fewer of what those were to mother, and so on through the generations. */
const MOST_SETTLINGS = 6;

/**
 * Finds the starts of a plan that is lived through by chance. A plan that stands is kept while mending it is not worth the
 * change; otherwise another one is looked for beside it. What is chosen is mended until nothing is worth changing, as it
 * will be when it stands: so the same facts planned again change nothing.
 */
export class AssuredPlanning {
  private readonly situation: FarmSituation;
  private readonly careful: FarmSituation;
  private readonly chance: FarmChance;
  private readonly search: AssuranceSearch;
  private readonly options: PlanningOptions;
  private readonly luck: Luck;
  /** What stands, as changes are counted against it. */
  private readonly standing: StandingWeights;
  /** The starts that each plan was placed for. */
  private readonly chosenFor = new WeakMap<SpawnPlan, string>();
  /** Plans by the starts they were placed for, and what they are worth without their changes: both are asked for again. */
  private readonly placedFor = new Map<string, Promise<SpawnPlan | null>>();
  private readonly worths = new WeakMap<SpawnPlan, number>();

  /** @param kept the numbers of luck, where they are kept from one plan to the next */
  constructor(
    situation: FarmSituation,
    chance: FarmChance,
    search: AssuranceSearch,
    options: PlanningOptions,
    kept = new KeptLuck(),
  ) {
    this.situation = situation;
    this.careful = withCarefulLives(situation, chance);
    this.chance = chance;
    this.search = search;
    this.options = options;
    this.luck = kept.luck(search.seed, search.draws);
    this.standing = new StandingWeights(situation);
  }

  async best(): Promise<AssuredCandidate> {
    const stood = await this.stood();
    if (stood === null)
      return this.atRest(this.accepted.length > 0 ? await this.besideStanding() : await this.fromNothing());
    return this.isAllThereIs(stood) ? this.bestFromWhole(stood) : this.bestFromPart(stood);
  }

  private async bestFromWhole(stood: SpawnPlan): Promise<AssuredCandidate> {
    const mended = await this.mended(stood, this.standing);
    // Where it is only compared somebody waits, and wants to see what becomes of the plan that stands.
    if (mended.plan === stood || this.options.onlyCompared) return this.kept(mended);
    return this.betterOf(stood, mended, await this.besideStanding());
  }

  /**
   * Where something that stands can be made no more, another plan is mostly better than mending promises, and then what
   * is mended need not be laid. Of a plan that is only compared it is not even asked what mending promises.
   */
  private async bestFromPart(stood: SpawnPlan): Promise<AssuredCandidate> {
    if (this.options.onlyCompared) return this.atRest(await this.besideStanding());
    const mending = this.assuredStarts(stood, this.standing);
    const other = await this.besideStanding();
    const promised = this.worthOf(stood, this.standing) - mending.gain;
    if (this.worthOf(other.plan, this.standing) < promised - this.leastGain(stood)) return this.atRest(other);
    return this.betterOf(stood, await this.mended(stood, this.standing, mending), other);
  }

  /** What stands, kept or mended, unless the other is better: than what is kept, by more than the least that counts. */
  private betterOf(stood: SpawnPlan, mended: AssuredCandidate, other: Found): Promise<AssuredCandidate> {
    const isKept = mended.plan === stood;
    const gain = this.worthOf(mended.plan, this.standing) - this.worthOf(other.plan, this.standing);
    if (gain > (isKept ? this.leastGain(stood) : 0)) return this.atRest(other);
    return isKept ? this.kept(mended) : this.atRest({ ...mended, free: other.free });
  }

  private async fromNothing(): Promise<Found> {
    return this.assured(await this.expected(1));
  }

  private async besideStanding(): Promise<Found> {
    return this.assured(await this.expected(SHARE_BESIDE_STANDING));
  }

  /** Whether mending has the whole say: all that stands can be made, and no strain is without any start though its runs fall short. */
  private isAllThereIs({ starts, runs }: SpawnPlan): boolean {
    const made = new Set(starts.map(idOf));
    const startedOf = new Set(starts.map(({ strainId }) => strainId));
    const allMade = this.accepted.every((start) => start.containers === 0 || made.has(idOf(start)));
    const isShort = ({ coveredGrams, minGrams }: SpawnPlan['runs'][number]) => coveredGrams < minGrams;
    return allMade && runs.every((run) => startedOf.has(run.strainId) || !isShort(run));
  }

  /** Mends a plan until nothing is worth changing once it stands. */
  private async atRest({ free, ...found }: Found): Promise<AssuredCandidate> {
    let rested: AssuredCandidate = { ...found, plan: await this.settled(found.plan) };
    const most = this.options.onlyCompared ? 1 : MENDINGS_TO_REST;
    for (let mendings = 0; mendings < most; mendings += 1) {
      const { plan } = rested;
      const standing = new StandingWeights(withStanding(this.situation, plan.starts));
      const mended = await this.mended(plan, standing, this.assuredStarts(plan, standing, this.trialsBeside));
      rested = mended;
      if (mended.plan === plan) break;
    }
    return { ...rested, plan: withChangesCounted(this.situation, asTold(rested.plan, free)) };
  }

  /** As the plan will be made when it stands; where mothers are short, for what comes of its starts. */
  private async settled(plan: SpawnPlan): Promise<SpawnPlan> {
    let laid = plan;
    for (let tries = 0; tries < MOST_SETTLINGS && this.chosenFor.get(laid) !== keyOf(laid.starts); tries += 1) {
      const placed = await this.placed(laid.starts);
      if (placed === null) break;
      laid = placed;
    }
    return laid;
  }

  /** The plan with its starts raised, shifted and trimmed where that is worth the change; the plan itself where it is not. */
  private async mended(
    plan: SpawnPlan,
    standing: StandingWeights,
    { starts, limitOf, gain } = this.assuredStarts(plan, standing),
  ): Promise<AssuredCandidate> {
    const least = this.leastGain(plan);
    if (gain <= least) return { plan, limitOf };
    const placed = await this.placed(starts);
    // What stands next time are the starts that come of it, so it is worth what those are.
    const laid = placed === null ? null : await this.settled(placed);
    const isWorth = laid !== null && this.worthOf(plan, standing) - this.worthOf(laid, standing) > least;
    return { plan: isWorth ? laid : plan, limitOf };
  }

  /** The plan as it stands, with a bound below every plan. */
  private async kept({ plan, limitOf }: AssuredCandidate): Promise<AssuredCandidate> {
    if (this.options.onlyCompared) return { plan: withChangesCounted(this.situation, plan), limitOf };
    const situation = keptUnlessWorthIt(this.careful);
    const isShort = plan.runs.some(({ limit }) => limit !== null);
    const free = isShort
      ? await planSpawn(situation, { ...this.options, ...LEAST_SEARCH })
      : { runs: plan.runs, bound: await boundBelowPlans(situation, this.options) };
    return { plan: withChangesCounted(this.situation, asTold(plan, free)), limitOf };
  }

  /** What is planned where nothing goes wrong; jars that only chance asks for are kept where they stand already. */
  private expected(share: number): Promise<SpawnPlan> {
    const evaluations = Math.round(share * this.options.evaluations);
    return planSpawn(keptUnlessWorthIt(this.careful), { ...this.options, evaluations });
  }

  /** The plan as it stands; null when there is none or it can no longer be made. */
  private async stood(): Promise<SpawnPlan | null> {
    const { accepted } = this;
    return accepted.length === 0 || !benchHasRoom(this.situation) ? null : this.placed(accepted);
  }

  private get accepted(): readonly StandingStart[] {
    return (this.situation.standing ?? []).filter(({ hold }) => hold === 'accepted');
  }

  private async assured(plan: SpawnPlan): Promise<Found> {
    const { starts, limitOf, changed } = this.assuredStarts(plan, this.standing, this.trialsBeside);
    // Shelves or clean containers may have no room for all that was chosen; then what is expected is the better plan.
    const laid = changed ? await this.placed(starts) : null;
    return { plan: laid ?? plan, limitOf, free: plan };
  }

  private assuredStarts(plan: SpawnPlan, standing: StandingWeights, trials = this.search.trials): AssuredStarts {
    return assureStarts(this.situation, plan, this.chance, { ...this.search, trials }, this.luck, standing);
  }

  /** Of whatever is not the plan that stands. */
  private get trialsBeside(): number {
    return Math.round((this.options.onlyCompared ? SHORT_SEARCH : 1) * this.search.trials);
  }

  /** A plan with these starts and what is held, everything else placed anew around them; null when it cannot be made. */
  private placed(starts: Starts): Promise<SpawnPlan | null> {
    const key = keyOf(starts);
    const placed = this.placedFor.get(key) ?? this.placedAnew(starts);
    this.placedFor.set(key, placed);
    return placed;
  }

  private async placedAnew(starts: Starts): Promise<SpawnPlan | null> {
    const { costs, standing } = withStanding(this.careful, starts);
    // What is chosen here is no change of its own; changes are counted against what stood before.
    const held = { ...this.careful, costs: { ...costs, perContainerChanged: 0 }, standing };
    const evaluations = Math.round(SHARE_BESIDE_STANDING * this.options.evaluations);
    const plan = await planSpawn(held, { ...this.options, evaluations, onlyStanding: true });
    if (!Number.isFinite(plan.cost)) return null;
    const told = { ...plan, exact: false, impossible: remarksOf(this.situation, plan) };
    this.chosenFor.set(told, keyOf(starts));
    return told;
  }

  /** Less than this is no reason to change a plan. */
  private leastGain(plan: SpawnPlan): number {
    const { costs, runs } = this.situation;
    const runGrams = runs.reduce((sum, { minGrams }) => sum + minGrams, 0) / Math.max(1, runs.length);
    return WORTH_CHANGING * makingCost(plan) + ASSURANCE_WORTH_CHANGING * missingWeight(runGrams, costs.perGramShort);
  }

  /** With the weight of what the plan changes against what stands. */
  private worthOf(plan: SpawnPlan, standing: StandingWeights): number {
    const worth = this.worths.get(plan) ?? planWorth(this.situation, plan, this.chance, this.search, this.luck);
    this.worths.set(plan, worth);
    return worth + standing.changesOf(plan.starts);
  }
}

/**
 * A plan whose starts were fixed, with the bound and the limits of one that was free to start anything: assurance is
 * bought, not planned for, and what was fixed is not what limits a run.
 */
function asTold(plan: SpawnPlan, free: Pick<SpawnPlan, 'runs' | 'bound'>): SpawnPlan {
  const limits = new Map(free.runs.map(({ run, limit }) => [run, limit]));
  const runs = plan.runs.map((run) => (run.limit === null ? run : { ...run, limit: limits.get(run.run) ?? run.limit }));
  return { ...plan, bound: free.bound, runs };
}

/** Only for the limits of runs that fall short. */
const LEAST_SEARCH: PlanOptions = { evaluations: 0, exact: 'never' };

function keyOf(starts: Starts): string {
  return starts
    .map((start) => `${idOf(start)} ${start.containers}`)
    .sort()
    .join();
}

/** The situation with other starts standing beside those that are held. */
function withStanding(situation: FarmSituation, starts: Starts) {
  const held = (situation.standing ?? []).filter(({ hold }) => hold !== 'accepted');
  const isHeld = new Set(held.map(idOf));
  const chosen = starts
    .filter((start) => !isHeld.has(idOf(start)))
    .map(({ benchDay, strainId, generation, sizeId, containers }): StandingStart => {
      return { benchDay, strainId, generation, sizeId, containers, hold: 'accepted' };
    })
    .sort((one, other) => (idOf(one) < idOf(other) ? -1 : 1));
  return { ...situation, standing: [...held, ...chosen] } satisfies FarmSituation;
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

/** The plan with what its changes cost as the farm has it, whatever they weighed while it was looked for. */
function withChangesCounted(situation: FarmSituation, plan: SpawnPlan): SpawnPlan {
  const changes = changesCost(situation, plan.starts);
  const cost = plan.cost - (plan.costParts.changes ?? 0) + changes;
  const bound = Math.min(plan.bound, cost);
  const gap = cost > 0 ? Math.max(0, (cost - bound) / cost) : 0;
  const costParts = (situation.standing ?? []).length === 0 ? plan.costParts : { ...plan.costParts, changes };
  return { ...plan, cost, costParts, bound, gap };
}
