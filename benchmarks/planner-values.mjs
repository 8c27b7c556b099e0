/**
 * A long search's plan as values of the whole programme, for an integer solve to begin with. Needs `npm run build`.
 */
import { acceptSituation } from '../libs/domain/dist/planning/accept-situation.js';
import { buildModel } from '../libs/domain/dist/planning/build-model.js';
import { complete, objective } from '../libs/domain/dist/planning/exact-solution.js';
import { FarmSearch } from '../libs/domain/dist/planning/farm-search.js';
import { flowRelaxation } from '../libs/domain/dist/planning/flow-relaxation.js';
import { highsSolver } from '../libs/domain/dist/planning/highs-solver.js';
import { wholeColumns } from '../libs/domain/dist/planning/whole-columns.js';

/**
 * @param situation the farm
 * @param evaluations hand-outs to compare
 * @returns what the plan costs, and the values of all columns; null for them when the programme has no column for
 *   something in the plan: a search may open a container on a day on which the programme would not
 */
export async function wholeValues(situation, evaluations) {
  const solver = await highsSolver();
  const accepted = acceptSituation(situation);
  const farm = new FarmSearch(accepted);
  const relaxation = flowRelaxation(accepted, farm.fields, farm.shared);
  const session = solver.relax(relaxation.programme);
  const { values } = session.solve();
  session.close();
  farm.beginFromFlow(relaxation, values);
  farm.improve(evaluations);
  const model = buildModel(accepted);
  const whole = wholeColumns(farm, model);
  const completed = whole && complete(model, solver, whole);
  return { values: completed, cost: completed ? objective(model, completed) : farm.cost() };
}
