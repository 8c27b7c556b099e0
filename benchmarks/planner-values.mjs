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
 * @returns values of all columns and what they cost, or null when the programme has no column for something in the plan
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
  return completed && { values: completed, cost: objective(model, completed) };
}
