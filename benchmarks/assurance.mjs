/**
 * What it takes to plan with chance: a replan with every run's probability, what-if at a glance, how cost grows with
 * strains, weeks and draws, and a night in which many growers are replanned one after another.
 *
 *   node --expose-gc benchmarks/assurance.mjs [--farms 50] [--growers 1000] [--minutes 30] [--parts replan,curves,night]
 *       [--out NAME]
 *
 * Each time is told twice: by the clock, as somebody waits for it, and as processor time of this process (user + system),
 * which other work on the cores does not lengthen. The second is more than the first on a quiet machine, by a quarter or
 * so: the engine compiles and collects garbage on threads of its own beside the one that plans. Processor time is told as
 * a ratio to a reference loop as well. Stops after so many minutes and says how many growers it came to. Needs `npm run build`; writes
 * benchmarks/results/NAME.json (assurance.json).
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import * as planning from '../libs/domain/dist/planning/index.js';
import { planEfforts } from '../libs/server/dist/plan/plan-effort.js';

const RESULTS = new URL('./results/', import.meta.url);
const { values: options } = parseArgs({
  options: {
    farms: { type: 'string', default: '50' },
    growers: { type: 'string', default: '1000' },
    minutes: { type: 'string', default: '30' },
    parts: { type: 'string', default: 'replan,curves,night' },
    out: { type: 'string', default: 'assurance' },
  },
});
const deadline = Date.now() + Number(options.minutes) * 60_000;
/** As the server asks. */
const { glance: GLANCE, quick: QUICK, thorough: THOROUGH } = planEfforts;
const many = planning.farmFamily.find(({ name }) => name === 'many-strains');

/** A farm of the family on the morning of a week in its season and on the next, after a rule of thumb has lived it. */
async function morningsOf(traits, seed, weeks, day = 0) {
  const farm = planning.familyFarm(traits, seed, weeks + 12);
  const world = new planning.SeasonWorld(farm, seed);
  const rule = planning.rulePolicy('lot-for-lot', { allowance: 0.3, earlyDays: 4, spendsMothers: false });
  for (let from = 0; from < day; from += 7) world.live(from, 7, await rule.decide(world.morning(from, 84)));
  const { seen } = world.morning(day, weeks * 7);
  // A Monday; the bench days are Tuesday and Friday, so what was planned to be started still stands.
  world.live(day, 1, await rule.decide(world.morning(day, 84)));
  return { seen, next: world.morning(day + 1, weeks * 7).seen, chance: farm.believed };
}

function cpuMs(since) {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1000;
}

/** What a piece of work took: by the clock, and of processors. */
async function timed(work) {
  const since = process.cpuUsage();
  const beganMs = performance.now();
  const result = await work();
  return { took: { clockMs: performance.now() - beganMs, ms: cpuMs(since) }, result };
}

/** A loop that takes about as long on every machine of its kind; times are told as ratios to it. */
function referenceMs() {
  const since = process.cpuUsage();
  const values = new Float64Array(4096);
  for (let round = 0; round < 6000; round += 1)
    for (let at = 1; at < values.length; at += 1) values[at] = Math.sqrt(values[at - 1] + at + round);
  return cpuMs(since);
}

function told(times, reference) {
  const ms = spread(times.map(({ ms }) => ms));
  const clockMs = spread(times.map(({ clockMs }) => clockMs));
  return { n: times.length, clockMs, ms, medianToReference: Math.round((100 * ms.median) / reference) / 100 };
}

function spread(times) {
  const sorted = [...times].sort((one, other) => one - other);
  const at = (share) => Math.round(sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]);
  return { median: at(0.5), p90: at(0.9), worst: Math.round(sorted.at(-1)) };
}

const withPlan = (seen, plan, newest) => ({ ...seen, standing: planning.standingFrom(plan, seen, newest) });

/** How many starts differ between two plans. */
function movedBetween(before, { starts }) {
  const counts = new Map(before.starts.map(({ id, containers }) => [id, containers]));
  let moved = 0;
  for (const { id, containers } of starts) {
    moved += Math.abs(containers - (counts.get(id) ?? 0));
    counts.delete(id);
  }
  return [...counts.values()].reduce((sum, containers) => sum + containers, moved);
}

/** Replans of six strains over sixteen weeks: from nothing, on the next morning, and once more with nothing new. */
async function replans(reference) {
  const [fresh, nextMorning, nothingNew, glance] = [[], [], [], []];
  let moved = 0;
  for (let seed = 1; seed <= Number(options.farms) && Date.now() < deadline; seed += 1) {
    const { seen, next, chance } = await morningsOf(many, seed, 16, 7 * (seed % 20));
    const first = await timed(() => planning.planWithAssurance(seen, chance, QUICK));
    fresh.push(first.took);
    const second = await timed(() => planning.planWithAssurance(withPlan(next, first.result), chance, QUICK));
    nextMorning.push(second.took);
    const stood = withPlan(next, first.result, second.result);
    const third = await timed(() => planning.planWithAssurance(stood, chance, QUICK));
    nothingNew.push(third.took);
    moved += movedBetween(second.result, third.result);
    const fewer = planning.supposed(stood, [{ kind: 'more-cycles', cycles: 1 }]);
    glance.push((await timed(() => planning.planWithAssurance(fewer, chance, GLANCE))).took);
  }
  return {
    what: 'six strains, sixteen weeks, 2,000 draws; what-if at a glance: fewer trials, near the plan that stands',
    fresh: told(fresh, reference),
    nextMorning: told(nextMorning, reference),
    nothingNew: { ...told(nothingNew, reference), containersMoved: moved },
    whatIf: told(glance, reference),
  };
}

/** Median of three farms at three sizes of one thing, the others as in the middle. */
async function curve(values, situationOf) {
  const points = [];
  for (const value of values) {
    const times = [];
    for (const seed of [1, 2, 3]) {
      const { seen, chance, more } = await situationOf(value, seed);
      times.push((await timed(() => planning.planWithAssurance(seen, chance, { ...QUICK, ...more }))).took.ms);
    }
    times.sort((one, other) => one - other);
    points.push({ value, ms: Math.round(times[1]) });
  }
  return points;
}

async function curves() {
  const strains = (count) => ({ ...many, strains: count, jarsPerWeek: (many.jarsPerWeek / many.strains) * count });
  return {
    strains: await curve([2, 4, 8], (count, seed) => morningsOf(strains(count), seed, 12)),
    weeks: await curve([6, 12, 24], (weeks, seed) => morningsOf(many, seed, weeks)),
    draws: await curve([500, 2_000, 8_000], async (draws, seed) => ({
      ...(await morningsOf(many, seed, 12)),
      more: { draws },
    })),
  };
}

/** Mostly small growers, some middle, few large: invented. */
const MIX = ['kitchen-roomy', 'kitchen-two', 'kitchen-tight', 'small-roomy', 'small-lossy', 'small-tight'];
const LARGER = ['middle-roomy', 'many-strains'];

/** Growers planned one after another as at night, each with the plan of the day before standing. */
async function night(reference) {
  const wanted = Number(options.growers);
  const [times, heaps, resident] = [[], [], []];
  for (let grower = 0; grower < wanted && Date.now() < deadline; grower += 1) {
    const names = grower % 10 === 9 ? LARGER : MIX;
    const traits = planning.farmFamily.find(({ name }) => name === names[grower % names.length]);
    const { seen, next, chance } = await morningsOf(traits, 100 + grower, 12, 7 * (grower % 8));
    const yesterday = await planning.planWithAssurance(seen, chance, QUICK);
    times.push((await timed(() => planning.planWithAssurance(withPlan(next, yesterday), chance, THOROUGH))).took);
    if (grower % 20 !== 19) continue;
    globalThis.gc?.();
    const { heapUsed, rss } = process.memoryUsage();
    heaps.push(Math.round(heapUsed / 2 ** 20));
    resident.push(Math.round(rss / 2 ** 20));
    console.error(`${grower + 1} growers, ${heaps.at(-1)} MB`);
  }
  const sum = times.reduce((total, { ms }) => total + ms, 0);
  return {
    what: 'the effort of the nightly job, the plan of the day before standing; every grower counts as having news',
    growers: times.length,
    asked: wanted,
    each: told(times, reference),
    meanMs: Math.round(sum / times.length),
    minutesForAThousandOnOneCore: Math.round((10 * sum) / times.length / 60) / 10,
    heapMbEvery20Growers: heaps,
    residentMbEvery20Growers: resident,
  };
}

const reference = referenceMs();
const { seen: warm, chance: warmChance } = await morningsOf(many, 99, 12);
await planning.planWithAssurance(warm, warmChance, QUICK);
const parts = new Set(options.parts.split(','));
const report = {
  date: new Date().toISOString().slice(0, 10),
  node: process.version,
  processor: cpus()[0]?.model ?? 'unknown',
  loadAverage: loadavg().map((load) => Math.round(load)),
  referenceMs: Math.round(reference),
  ...(parts.has('replan') && { replan: await replans(reference) }),
  ...(parts.has('curves') && { curves: await curves() }),
  ...(parts.has('night') && { night: await night(reference) }),
};
mkdirSync(RESULTS, { recursive: true });
writeFileSync(new URL(`${options.out}.json`, RESULTS), `${JSON.stringify(report, null, 2)}\n`);
console.log(JSON.stringify(report, null, 2));
