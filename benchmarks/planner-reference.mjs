/**
 * Long integer solves of the fixed set of farms, against which the planner's cost is measured.
 *
 *   node benchmarks/planner-reference.mjs [--minutes 10] [--farm NAME] [--start [--evaluations N]]
 *
 * One farm after the other; each result is saved as soon as it is there, and farms that have one for the same programme
 * are skipped, so the script can be stopped and started again. `--start` hands the solver the plan of a long search of
 * ours to begin with: for the farms on which it finds nothing by itself, and kept under a name of its own, because such
 * a cost is the best one known and no independent one. Results: benchmarks/results/planner-reference.json. Needs `npm run build`.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { acceptSituation } from '../libs/domain/dist/planning/accept-situation.js';
import { buildModel } from '../libs/domain/dist/planning/build-model.js';
import { highsSolver } from '../libs/domain/dist/planning/highs-solver.js';
import { generateFarm, referenceFarms } from './planner-farms.mjs';
import { wholeValues } from './planner-values.mjs';

const RESULTS = new URL('./results/', import.meta.url);
const FILE = new URL('planner-reference.json', RESULTS);

const { values: options } = parseArgs({
  options: {
    minutes: { type: 'string', default: '10' },
    farm: { type: 'string' },
    start: { type: 'boolean', default: false },
    evaluations: { type: 'string', default: '2000000' },
  },
});

const solver = await highsSolver();
// The biggest farms come first in the list and last here: they gain least from the time.
for (const farm of referenceFarms
  .toReversed()
  .filter(({ name }) => options.farm === undefined || name === options.farm)) {
  const { programme } = buildModel(acceptSituation(generateFarm(farm)));
  const digest = digestOf(programme);
  const results = readResults();
  const key = options.start ? `${farm.name} (started from the plan)` : farm.name;
  if (results[key]?.digest === digest && results[key].minutes >= Number(options.minutes)) {
    console.log(`${key}: known, ${results[key].cost}`);
    continue;
  }
  const start = options.start ? await wholeValues(generateFarm(farm), Number(options.evaluations)) : null;
  const before = process.cpuUsage();
  const found = start !== null && start.values === null ? searchedOnly(start.cost) : solve(programme, start?.values);
  const { user, system } = process.cpuUsage(before);
  const result = {
    digest,
    date: new Date().toISOString().slice(0, 10),
    minutes: Number(options.minutes),
    cpuS: Math.round((user + system) / 1e6),
    columns: programme.columns,
    rows: programme.rows,
    status: found.status,
    ...(start ? { evaluations: Number(options.evaluations), startCost: round(start.cost) } : {}),
    cost: Number.isFinite(found.objective) ? round(found.objective) : null,
    bound: round(found.bound),
  };
  saveResults({ ...readResults(), [key]: result });
  console.log(`${key}: ${JSON.stringify(result)}`);
}

function solve(programme, start) {
  return solver.solveWhole(programme, {
    relativeGap: 0,
    maxNodes: 2_000_000_000,
    timeLimitS: Number(options.minutes) * 60,
    ...(start ? { start } : {}),
  });
}

/** The programme has no column for something in the plan that was searched, so no solve can begin from it. */
function searchedOnly(cost) {
  return { status: 'searched only', objective: cost, bound: 0 };
}

/** Tells whether two runs solved the same programme. */
function digestOf(programme) {
  const hash = createHash('sha256');
  for (const part of [
    programme.cost,
    programme.lower,
    programme.upper,
    programme.rowLower,
    programme.rowUpper,
    programme.rowStart,
    programme.index,
    programme.value,
  ]) {
    hash.update(new Uint8Array(part.buffer, part.byteOffset, part.byteLength));
  }
  return hash.digest('hex').slice(0, 16);
}

function round(number) {
  return Math.round(number * 1000) / 1000;
}

function readResults() {
  try {
    return JSON.parse(readFileSync(FILE, 'utf8'));
  } catch (error) {
    if (error.code === 'ENOENT') return {};
    throw error;
  }
}

function saveResults(results) {
  mkdirSync(RESULTS, { recursive: true });
  const draft = new URL('planner-reference.json.part', RESULTS);
  writeFileSync(draft, `${JSON.stringify(results, null, 2)}\n`);
  renameSync(draft, FILE);
}
