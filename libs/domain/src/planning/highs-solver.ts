import highsModule, { type Highs, type Model, type ModelData } from 'highs';
import { DomainError } from '../errors.js';
import type { LinearProgramme } from './linear-programme.js';
import type {
  LinearSolver,
  RelaxedSession,
  RelaxedSolution,
  SolveStatus,
  WholeLimits,
  WholeSolution,
} from './solver-port.js';

// The package's types describe its CommonJS build; what Node and bundlers import is the ES module with a plain default.
const loadHighs = highsModule as unknown as typeof highsModule.default;

const NOTHING = new Float64Array(0);

let loading: Promise<Highs> | undefined;

/** The HiGHS solver (WebAssembly, one thread, blocks while it solves). Loaded once per process. */
export async function highsSolver(): Promise<LinearSolver> {
  loading ??= loadHighs();
  const highs: Highs = await loading;
  return {
    relax: (programme) => openRelaxed(highs, programme),
    solveWhole: (programme, limits) => solveWhole(highs, programme, limits),
  };
}

function openRelaxed(highs: Highs, programme: LinearProgramme): RelaxedSession {
  const model = highs.createModel(modelData(highs, programme, false));
  model.options.set({ output_flag: false, random_seed: 0 });
  return {
    solve: () => solveRelaxed(highs, model),
    addColumn: (cost, upper, rows, coefficients) => {
      model.addCol(cost, 0, upper, { indices: [...rows], values: [...coefficients] });
    },
    close: () => model.dispose(),
  };
}

function solveRelaxed(highs: Highs, model: Model): RelaxedSolution {
  model.run();
  const status = statusOf(highs, model);
  // HiGHS gives no solution for a model without columns.
  if (model.getDimensions().numCols === 0) return { status, objective: 0, values: NOTHING, rowPrices: NOTHING };
  const { colValue, rowDual } = model.getSolution();
  return { status, objective: model.getObjectiveValue(), values: colValue, rowPrices: rowDual };
}

function solveWhole(highs: Highs, programme: LinearProgramme, limits: WholeLimits): WholeSolution {
  if (programme.columns === 0) return { status: 'optimal', objective: 0, values: NOTHING, bound: 0 };
  return highs.withModel(modelData(highs, programme, true), (model) => {
    model.options.set({
      output_flag: false,
      random_seed: 0,
      mip_rel_gap: limits.relativeGap,
      mip_abs_gap: 1e-7,
      // A good plan is known from the start, so the time belongs to the proof; beginning it anew doubles it.
      mip_heuristic_effort: limits.start ? 0 : 0.05,
      mip_allow_restart: !limits.start,
      mip_max_nodes: limits.maxNodes,
      time_limit: limits.timeLimitS,
    });
    if (limits.start) model.setSolution({ colValue: limits.start });
    model.run();
    const status = statusOf(highs, model);
    const found = model.info.get('primal_solution_status') === highs.constants.solutionStatus.feasible;
    return {
      status,
      objective: found ? model.getObjectiveValue() : Number.POSITIVE_INFINITY,
      values: found ? model.getSolution().colValue : null,
      bound: Number(model.info.get('mip_dual_bound')),
    };
  });
}

function statusOf(highs: Highs, model: Model): SolveStatus {
  const { modelStatus } = highs.constants;
  switch (model.getModelStatus()) {
    case modelStatus.optimal:
    case modelStatus.empty:
      return 'optimal';
    case modelStatus.infeasible:
    case modelStatus.unboundedOrInfeasible:
      return 'infeasible';
    case modelStatus.unbounded:
      return 'unbounded';
    case modelStatus.timeLimit:
    case modelStatus.iterationLimit:
    case modelStatus.solutionLimit:
    case modelStatus.interrupted:
      return 'limit';
    default:
      throw new DomainError('solver-failed', `The solver ended with status ${model.getModelStatus()}.`);
  }
}

function modelData(highs: Highs, programme: LinearProgramme, whole: boolean): ModelData {
  return {
    numCols: programme.columns,
    numRows: programme.rows,
    colCost: programme.cost,
    colLower: programme.lower,
    colUpper: programme.upper,
    rowLower: programme.rowLower,
    rowUpper: programme.rowUpper,
    matrix: {
      format: 'csr',
      numRows: programme.rows,
      numCols: programme.columns,
      starts: programme.rowStart,
      indices: programme.index,
      values: programme.value,
    },
    ...(whole ? { integrality: Int32Array.from(programme.whole) } : {}),
    sense: highs.constants.objectiveSense.minimize,
  };
}
