/**
 * How fast the planner is and how near its plans come to long integer solves.
 *
 *   node benchmarks/planner.mjs [--farms 11] [--evaluations N]
 *
 * Speed: invented farms of 6 strains, 16 weeks, 2 bench days a week and 78 runs; processor time of one whole plan, beside
 * the relaxed programme alone (built and solved) in the same process, so that the ratio can be compared between machines.
 * Cost: the fixed farms, planned as while somebody waits and as at night (thorough), against
 * benchmarks/results/planner-reference.json (see planner-reference.mjs). Every plan is checked. What a busy machine falsifies,
 * time on the clock and what is proven within a guard by the clock, is told only when the load before is no more than the
 * processors. Needs `npm run build`; writes benchmarks/results/planner.json.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { acceptSituation } from '../libs/domain/dist/planning/accept-situation.js';
import { buildModel } from '../libs/domain/dist/planning/build-model.js';
import { highsSolver } from '../libs/domain/dist/planning/highs-solver.js';
import { checkPlan, planSpawn } from '../libs/domain/dist/planning/index.js';
import { thoroughEffort } from '../libs/domain/dist/planning/search-effort.js';
import { generateFarm, kitchenFarm, referenceFarms, sixStrainsFarm } from './planner-farms.mjs';

const RESULTS = new URL('./results/', import.meta.url);
const { values: options } = parseArgs({
  options: { farms: { type: 'string', default: '11' }, evaluations: { type: 'string' } },
});
const effort = options.evaluations === undefined ? {} : { evaluations: Number(options.evaluations) };

const solver = await highsSolver();
const loadBefore = round(loadavg()[0], 1);
const onQuietMachine = (figure) => (loadBefore <= cpus().length ? figure : null);
const speed = await measureSpeed(Number(options.farms));
const cost = await measureCost();
const kitchens = await measureKitchens(12);
const report = {
  date: new Date().toISOString().slice(0, 10),
  node: process.version,
  processor: cpus()[0]?.model ?? 'unknown',
  processors: cpus().length,
  loadBefore,
  speed,
  cost,
  kitchens,
};
mkdirSync(RESULTS, { recursive: true });
writeFileSync(new URL('planner.json', RESULTS), `${JSON.stringify(report, null, 2)}\n`);
print(report);

async function measureSpeed(count) {
  // The first plans warm up the compiler; they are not counted.
  for (const seed of [901, 902, 903]) await planSpawn(sixStrainsFarm(seed), effort);
  const rows = [];
  for (let seed = 1; seed <= count; seed += 1) {
    const farm = sixStrainsFarm(seed);
    const relaxedMs = processorMs(() => solveRelaxed(farm)).ms;
    const wallStart = performance.now();
    const { ms, result } = await processorMsAsync(() => planSpawn(farm, effort));
    const wallMs = performance.now() - wallStart;
    requireFaultless(farm, result, `seed ${seed}`);
    rows.push({ planMs: ms, wallMs, relaxedMs, ratio: ms / relaxedMs, gap: result.gap });
  }
  return {
    farms: count,
    medianPlanProcessorMs: Math.round(median(rows.map((row) => row.planMs))),
    worstPlanProcessorMs: Math.round(Math.max(...rows.map((row) => row.planMs))),
    medianPlanWallMs: onQuietMachine(Math.round(median(rows.map((row) => row.wallMs)))),
    medianRelaxedProcessorMs: Math.round(median(rows.map((row) => row.relaxedMs))),
    medianRatioToRelaxed: round(median(rows.map((row) => row.ratio)), 2),
    medianGap: round(median(rows.map((row) => row.gap)), 4),
    residentMb: Math.round(process.memoryUsage().rss / 2 ** 20),
  };
}

async function measureCost() {
  const references = readReferences();
  const rows = [];
  for (const farm of referenceFarms) {
    const situation = generateFarm(farm);
    const { ms, result } = await processorMsAsync(() => planSpawn(situation, effort));
    requireFaultless(situation, result, farm.name);
    const long = await processorMsAsync(() => planSpawn(situation, thoroughEffort(farm.runs)));
    requireFaultless(situation, long.result, `${farm.name} (thorough)`);
    const { cost: reference, bound, by } = referenceOf(references, farm.name);
    const over = (cost) => (reference === null ? null : round(cost / reference - 1, 4));
    const provenBound = Math.max(result.bound, bound);
    rows.push({
      farm: farm.name,
      processorMs: Math.round(ms),
      cost: round(result.cost, 2),
      thoroughProcessorMs: Math.round(long.ms),
      thoroughCost: round(long.result.cost, 2),
      reference,
      referenceBy: by,
      overReference: over(result.cost),
      thoroughOverReference: over(long.result.cost),
      bestKnownBound: round(provenBound, 2),
      thoroughOverBound: round(long.result.cost / provenBound - 1, 4),
    });
  }
  return rows;
}

/** What an integer solve found by itself; else what it made of the plan of a long search of ours. */
function referenceOf(references, name) {
  const own = references[name];
  const started = references[`${name} (started from the plan)`];
  const bound = Math.max(0, own?.bound ?? 0, started?.bound ?? 0);
  if (typeof own?.cost === 'number') return { cost: own.cost, bound, by: 'integer solve' };
  if (typeof started?.cost === 'number')
    return { cost: started.cost, bound, by: 'our long search, then integer solve' };
  return { cost: null, bound, by: null };
}

async function measureKitchens(count) {
  const rows = [];
  for (let seed = 1; seed <= count; seed += 1) {
    const farm = kitchenFarm(seed);
    const { ms, result } = await processorMsAsync(() => planSpawn(farm, effort));
    requireFaultless(farm, result, `kitchen ${seed}`);
    const proven = result.exact || (await planSpawn(farm, thoroughEffort(farm.runs.length))).exact;
    rows.push({ ms, exact: result.exact, proven, gap: result.gap });
  }
  return {
    farms: count,
    provenWithinDefaultGuard: onQuietMachine(rows.filter((row) => row.exact).length),
    provenWithinThoroughGuard: onQuietMachine(rows.filter((row) => row.proven).length),
    medianProcessorMs: Math.round(median(rows.map((row) => row.ms))),
    worstGap: onQuietMachine(round(Math.max(...rows.map((row) => row.gap)), 4)),
  };
}

function solveRelaxed(farm) {
  const session = solver.relax(buildModel(acceptSituation(farm)).programme);
  const { objective } = session.solve();
  session.close();
  return objective;
}

function requireFaultless(farm, plan, name) {
  const { faults } = checkPlan(farm, plan);
  if (faults.length > 0) throw new Error(`The plan of ${name} is wrong: ${faults.slice(0, 5).join('; ')}`);
}

function processorMs(work) {
  const before = process.cpuUsage();
  const result = work();
  return { result, ms: since(before) };
}

async function processorMsAsync(work) {
  const before = process.cpuUsage();
  const result = await work();
  return { result, ms: since(before) };
}

function since(before) {
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
}

function median(numbers) {
  const sorted = [...numbers].sort((one, other) => one - other);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

function round(number, digits) {
  return Number(number.toFixed(digits));
}

function readReferences() {
  try {
    return JSON.parse(readFileSync(new URL('planner-reference.json', RESULTS), 'utf8'));
  } catch (error) {
    if (error.code === 'ENOENT') return {};
    throw error;
  }
}

function print({ speed, cost, kitchens }) {
  console.log('6 strains, 16 weeks, 2 bench days a week, 78 runs:');
  console.table([speed]);
  console.log('Fixed farms against ten-minute integer solves:');
  console.table(cost);
  console.log('Kitchens:');
  console.table([kitchens]);
}
