import { acceptSituation } from './accept-situation.js';
import { buildModel } from './build-model.js';
import { explainShortages } from './explain-shortages.js';
import { highsSolver } from './highs-solver.js';
import { pegSolution } from './peg-solution.js';
import type { BindingLimit, SpawnPlan } from './plan.js';
import { costParts } from './plan-cost.js';
import { PlanReport } from './report-plan.js';
import type { FarmSituation } from './situation.js';
import type { LinearSolver } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { findWholeSolution, type SearchEffort, type WholeFound } from './whole-solution.js';

export interface PlanOptions extends Partial<SearchEffort> {
  /** The solver; HiGHS unless a test brings another. */
  readonly solver?: LinearSolver;
  /** Nothing is started but what stands already, exactly as it stands; the rest of the plan is made for it. */
  readonly onlyStanding?: boolean;
}

/**
 * Plans a farm's spawn work: from the bulk runs it intends back to what to start, keep, chill, warm and use, within all
 * its limits, at least cost. The plan always comes: what cannot be honoured is named in `impossible`, runs that fall
 * short carry their binding limit, and the rest is planned.
 *
 * The same situation and options give the same plan, as long as the wall-clock guard is not reached.
 *
 * @throws DomainError `situation-not-valid` when a number or a day in the situation has no meaning.
 */
export async function planSpawn(situation: FarmSituation, options: PlanOptions = {}): Promise<SpawnPlan> {
  const solver = options.solver ?? (await highsSolver());
  const model = buildModel(acceptSituation(situation));
  const session = solver.relax(model.programme);
  try {
    const relaxed = session.solve();
    const found = findWholeSolution(model, solver, relaxed, options);
    const limits = explainShortages(model, found.values, relaxed, session);
    return planOf(model, found, limits);
  } finally {
    session.close();
  }
}

function planOf(model: SpawnModel, found: WholeFound, limits: ReadonlyMap<number, BindingLimit>): SpawnPlan {
  const report = new PlanReport(model, pegSolution(model, found.values));
  return {
    asOf: model.situation.asOf,
    starts: report.starts(),
    preparations: report.preparations(),
    cultures: report.cultures(),
    moves: report.moves(),
    uses: report.uses(),
    runs: report.runs((run) => limits.get(run) ?? null),
    stranded: report.stranded(),
    discards: report.discards(),
    reserveGaps: report.reserveGaps(found.values),
    impossible: model.situation.impossible,
    cost: found.cost,
    costParts: costParts(model, found.values),
    bound: found.bound,
    gap: found.cost > 0 ? Math.max(0, (found.cost - found.bound) / found.cost) : 0,
    exact: found.exact,
  };
}
