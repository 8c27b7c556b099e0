import { describe, expect, it } from '@jest/globals';
import { type Constraint, type Model, solve } from 'yalps';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { acceptSituation } from './accept-situation.js';
import { buildModel } from './build-model.js';
import { highsSolver } from './highs-solver.js';
import type { LinearProgramme } from './linear-programme.js';
import { provingProgramme } from './proving-programme.js';

/** The same programme in the words of another solver (yalps, a simplex and branch and bound of its own). */
function inOtherWords(programme: LinearProgramme, whole: boolean): Model {
  const variables: Record<string, Record<string, number>> = {};
  const constraints: Record<string, Constraint> = {};
  for (let column = 0; column < programme.columns; column += 1) {
    variables[`x${column}`] = { cost: programme.cost[column]!, [`bound${column}`]: 1 };
    const upper = programme.upper[column]!;
    constraints[`bound${column}`] = {
      min: programme.lower[column]!,
      ...(Number.isFinite(upper) ? { max: upper } : {}),
    };
  }
  for (let row = 0; row < programme.rows; row += 1) {
    const lower = programme.rowLower[row]!;
    const upper = programme.rowUpper[row]!;
    constraints[`row${row}`] = {
      ...(Number.isFinite(lower) ? { min: lower } : {}),
      ...(Number.isFinite(upper) ? { max: upper } : {}),
    };
    for (let at = programme.rowStart[row]!; at < programme.rowStart[row + 1]!; at += 1) {
      variables[`x${programme.index[at]}`]![`row${row}`] = programme.value[at]!;
    }
  }
  const integers = [...programme.whole].flatMap((must, column) => (whole && must === 1 ? [`x${column}`] : []));
  return { direction: 'minimize', objective: 'cost', variables, constraints, integers };
}

const base = kitchen();
const farms = {
  'the kitchen': kitchen(),
  'a kitchen with loss and few clean jars': kitchen({
    strains: [{ ...base.strains[0]!, lossRate: 0.15, motherReserve: 1 }],
    sizes: [{ ...base.sizes[0]!, cleanEmpty: 2 }],
    stock: [stockJar({ code: 'M-1' }), stockJar({ code: 'O', state: 'opened', gramsLeft: 200 })],
  }),
  'a kitchen without a fridge': kitchen({ rooms: [{ id: 'shelf', kind: 'incubation', places: 3, temperatureC: 20 }] }),
};

describe('the solver against another one', () => {
  it.each(Object.entries(farms))('agrees on the relaxed optimum of %s', async (_, farm) => {
    const { programme } = buildModel(acceptSituation(farm));
    const session = (await highsSolver()).relax(programme);
    const { status, objective } = session.solve();
    session.close();
    const other = solve(inOtherWords(programme, false));
    expect([status, other.status]).toEqual(['optimal', 'optimal']);
    expect(objective).toBeCloseTo(other.result, 5);
  });

  it('agrees on the whole optimum of the kitchen, and so does the tighter form', async () => {
    const model = buildModel(acceptSituation(kitchen({ horizonDays: 30 })));
    const solver = await highsSolver();
    const limits = { relativeGap: 0, maxNodes: 100_000, timeLimitS: 60 };
    const other = solve(inOtherWords(model.programme, true), { tolerance: 0, timeout: 60_000 });
    expect(other.status).toBe('optimal');
    expect(solver.solveWhole(model.programme, limits).objective).toBeCloseTo(other.result, 5);
    expect(solver.solveWhole(provingProgramme(model), limits).objective).toBeCloseTo(other.result, 5);
  });
});
