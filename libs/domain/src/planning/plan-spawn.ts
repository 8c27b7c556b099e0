import { acceptSituation } from './accept-situation.js';
import type { AcceptedSituation } from './accepted-situation.js';
import { buildModel } from './build-model.js';
import { solveExactly } from './exact-solution.js';
import { explainShortages } from './explain-shortages.js';
import { FarmSearch } from './farm-search.js';
import { flowRelaxation } from './flow-relaxation.js';
import { highsSolver } from './highs-solver.js';
import { pegFarm } from './peg-hand-out.js';
import { pegSolution } from './peg-solution.js';
import type { PeggedPlan } from './pegged-plan.js';
import type { Impossibility, SpawnPlan } from './plan.js';
import { changeCost, costParts } from './plan-cost.js';
import { PlanReport } from './report-plan.js';
import { budgetsOf, DEFAULT_EFFORT, type SearchEffort } from './search-effort.js';
import { improveAnew, improveInRounds } from './search-rounds.js';
import type { FarmSituation } from './situation.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';

export interface PlanOptions extends Partial<SearchEffort> {
  /** The solver; HiGHS unless a test brings another. */
  readonly solver?: LinearSolver;
  /** Nothing is started but what stands already, exactly as it stands; the rest of the plan is made for it, without a bound. */
  readonly onlyStanding?: boolean;
  /** The plan shall only stand beside another: what limits its runs is not asked. */
  readonly onlyCompared?: boolean;
}

/**
 * Plans a farm's spawn work: from the bulk runs it intends back to what to start, keep, chill, warm and use, within all
 * its limits, at least cost. The plan always comes: what cannot be honoured is named in `impossible`, runs that fall
 * short carry their binding limit, and the rest is planned.
 *
 * The same situation and options give the same plan, as long as the wall-clock guard is not reached. With an accepted plan
 * standing and no new facts the plan is the accepted one.
 *
 * @throws DomainError `situation-not-valid` when a number or a day in the situation has no meaning.
 */
export async function planSpawn(situation: FarmSituation, options: PlanOptions = {}): Promise<SpawnPlan> {
  const solver = options.solver ?? (await highsSolver());
  const accepted = acceptSituation(situation, options.onlyStanding ?? false);
  return new Planning(accepted, solver, { ...DEFAULT_EFFORT, ...options }).plan();
}

/**
 * A bound below every plan of a situation: what the least flow costs, without any plan being looked for.
 * @throws DomainError `situation-not-valid`
 */
export async function boundBelowPlans(situation: FarmSituation, options: PlanOptions = {}): Promise<number> {
  const solver = options.solver ?? (await highsSolver());
  const accepted = acceptSituation(situation);
  return new Planning(accepted, solver, { ...DEFAULT_EFFORT, ...options }).bound();
}

/** A plan found, before it is told. */
interface Found {
  readonly pegged: PeggedPlan;
  /** Without what changes against the accepted plan cost. */
  readonly cost: number;
  readonly bound: number;
  readonly exact: boolean;
}

/** Containers on hand and started up to which a farm is solved exactly: "under 50 jars" with room for what comes. */
const SMALL_FARM_CONTAINERS = 60;
/** With an accepted plan standing: how far from it, and how long, a better one is looked for. */
const NEAR = 0.6;
const NEAR_SHARE = 0.5;
/** Of the second search of a long one. */
const ANOTHER_SEED = 1_000;
/** Share of the budget when only the handling is open. */
const HANDLING_SHARE = 0.15;

class Planning {
  private readonly situation: AcceptedSituation;
  private readonly solver: LinearSolver;
  private readonly effort: SearchEffort & Pick<PlanOptions, 'onlyCompared'>;
  private readonly farm: FarmSearch;

  constructor(situation: AcceptedSituation, solver: LinearSolver, effort: Planning['effort']) {
    this.situation = situation;
    this.solver = solver;
    this.effort = effort;
    this.farm = new FarmSearch(situation);
  }

  bound(): number {
    return this.flow()?.bound ?? 0;
  }

  plan(): SpawnPlan {
    const bound = this.search();
    const found = this.proven(this.asSearched(bound));
    return this.tell(found);
  }

  /**
   * Looks for the best plan as if nothing was accepted; where that is another one than the accepted, also near the
   * accepted one, and takes the cheaper, changes counted. So no new facts make no changes.
   * @returns a bound below every plan
   */
  private search(): number {
    const { farm, situation } = this;
    const { standing } = situation;
    const ways = farm.fields.reduce((sum, field) => sum + field.ways.length, 0);
    const { waited, more } = budgetsOf(this.effort.evaluations, situation.runs.length, ways);
    farm.countChanges(false);
    if (standing.nothingElse) return this.handle(waited.usual * HANDLING_SHARE);
    const flow = this.flow();
    flow?.begin();
    const bound = flow?.bound ?? 0;
    improveInRounds(farm, waited, 0);
    if (more !== null) improveAnew(farm, () => flow?.begin(), more, ANOTHER_SEED);
    if (standing.until < 0 || farm.isAsAccepted) return bound;
    farm.countChanges(true);
    const anywhere = { cost: farm.cost(), decisions: farm.decisions() };
    farm.beginFromStanding();
    farm.improve((more ?? waited).usual * NEAR_SHARE, NEAR);
    if (anywhere.cost < farm.cost()) farm.decide(anywhere.decisions);
    farm.countChanges(false);
    return bound;
  }

  /** Decides how the starts that stand are handed out. A flow tells only when runs take place: where that is open. */
  private handle(evaluations: number): number {
    const { farm } = this;
    const flow = farm.isFlexible ? this.flow() : null;
    farm.beginFromStanding();
    flow?.begin();
    farm.improve(evaluations);
    return flow?.bound ?? 0;
  }

  /** The least flow, or null when there is none: a bound below every plan, and whole starts near it to begin from. */
  private flow(): { readonly bound: number; readonly begin: () => void } | null {
    const relaxation = flowRelaxation(this.situation, this.farm.fields, this.farm.shared);
    const session = this.solver.relax(relaxation.programme);
    const { status, objective, values } = session.solve();
    session.close();
    if (status !== 'optimal') return null;
    return { bound: objective, begin: () => this.farm.beginFromFlow(relaxation, values) };
  }

  private asSearched(bound: number): Found {
    const cost = this.farm.cost();
    return { pegged: pegFarm(this.farm), cost, bound: Math.min(cost, bound), exact: false };
  }

  private proven(found: Found): Found {
    if (!this.isWorthProving(found)) return found;
    const { exactNodes: nodes, guardMs } = this.effort;
    const model = buildModel(this.situation);
    const solved = solveExactly(this.farm, model, this.solver, { nodes, guardMs });
    if (solved === null) return found;
    const pegged = pegSolution(model, solved.values);
    const counted = changesCounted(model, solved.values);
    const changes = changeCost(this.situation, pegged);
    const total = solved.cost - counted + changes;
    const searched = found.cost + changeCost(this.situation, found.pegged);
    // The solver may not have begun from what was searched, and then may have found nothing as good in its time.
    if (!solved.exact && total > searched) return { ...found, bound: boundOf(searched, found.bound, solved.bound) };
    // What was accepted and can no longer be started at all is no variable of the programme.
    const bound = Math.min(solved.cost, Math.max(solved.bound, found.bound)) + changes - counted;
    return { pegged, cost: solved.cost - counted, bound, exact: solved.exact };
  }

  private isWorthProving({ pegged }: Found): boolean {
    const { exact } = this.effort;
    const started = pegged.starts.reduce((sum, start) => sum + start.containers, 0);
    const small = this.situation.containers.length + started <= SMALL_FARM_CONTAINERS;
    return exact === 'always' || (exact === 'when-small' && small && !this.situation.standing.nothingElse);
  }

  private tell({ pegged, cost: withoutChanges, bound, exact }: Found): SpawnPlan {
    const { situation, farm } = this;
    const cost = withoutChanges + changeCost(situation, pegged);
    const { onlyCompared = false } = this.effort;
    const limits = onlyCompared ? null : explainShortages(farm, missingGrams(situation, pegged));
    const report = new PlanReport(situation, farm.slots, pegged);
    return {
      asOf: situation.asOf,
      starts: report.starts(),
      preparations: report.preparations(),
      cultures: report.cultures(),
      moves: report.moves(),
      uses: report.uses(),
      runs: report.runs((run) => limits?.get(run) ?? null),
      stranded: report.stranded(),
      discards: report.discards(),
      reserveGaps: report.reserveGaps(),
      impossible: [...situation.impossible, ...heldButNotStarted(situation, pegged)],
      cost,
      costParts: costParts(situation, pegged, cost),
      bound: Math.min(bound, cost),
      gap: cost > 0 ? Math.max(0, (cost - bound) / cost) : 0,
      exact,
    };
  }
}

/** A searched plan that beats the programme's bound does something the programme does not know: then only the flow's holds. */
function boundOf(searched: number, flow: number, programme: number): number {
  return programme > searched ? flow : Math.max(flow, programme);
}

/** What a solution of the programme pays for other numbers of starts than accepted. */
function changesCounted({ starts }: SpawnModel, values: Float64Array): number {
  return starts.reduce(
    (sum, { column, accepted, changeCost: each }) => sum + each * Math.abs(values[column]! - accepted),
    0,
  );
}

/** Grams each run lacks of its target. */
function missingGrams({ runs }: AcceptedSituation, { uses }: PeggedPlan): number[] {
  const missing = runs.map((run) => run.targetGrams);
  for (const { to, grams } of uses) if (to.kind === 'run') missing[to.run]! -= grams;
  return missing;
}

/** Held starts that no mother or culture can inoculate in full. */
function heldButNotStarted({ standing, strains, sizes }: AcceptedSituation, { starts }: PeggedPlan): Impossibility[] {
  return standing.starts.flatMap((held) => {
    const start = starts.find(
      (each) =>
        each.strain === held.strain &&
        each.generation === held.generation &&
        each.size === held.size &&
        each.benchDay === held.benchDay,
    );
    const started = start?.containers ?? 0;
    if (started >= held.fewest) return [];
    const strain = strains[held.strain]!.id;
    const message = `Of the ${held.fewest} ${sizes[held.size]!.id} of ${strain}, generation ${held.generation}, that are to be started, only ${started} can be inoculated: there is no mother or culture for the rest.`;
    return [{ code: 'held-start-not-possible', subject: strain, message }];
  });
}
