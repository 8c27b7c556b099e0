/**
 * Whether a farm is better off with Jarfold than with a rule of thumb: seasons of 52 weeks on the generated family.
 *
 *   node benchmarks/season.mjs [--farms a,b,...] [--seeds 1..10] [--weeks 52] [--minutes 60] [--out NAME]
 *
 * For each farm the rules' settings are swept on seeds 1001 to 1003 and the cheapest is kept; then every policy lives the
 * same seasons. The gap closed is (best rule − Jarfold) / (best rule − clairvoyant bound). Farms marked `tuning` were
 * looked at while Jarfold was made and are told apart. Stops starting seasons after so many minutes and says so.
 * Needs `npm run build`; writes benchmarks/results/NAME.json (season.json).
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { parseArgs } from 'node:util';
import { highsSolver } from '../libs/domain/dist/planning/highs-solver.js';
import * as season from '../libs/domain/dist/season/index.js';

const RESULTS = new URL('./results/', import.meta.url);
const TUNING_SEEDS = [1001, 1002, 1003];
const { values: options } = parseArgs({
  options: {
    farms: { type: 'string', default: season.farmFamily.map(({ name }) => name).join(',') },
    seeds: { type: 'string', default: '1..10' },
    weeks: { type: 'string', default: '52' },
    minutes: { type: 'string', default: '60' },
    out: { type: 'string', default: 'season' },
  },
});
const [first, last = first] = options.seeds.split('..').map(Number);
const weeks = Number(options.weeks);
const deadline = Date.now() + Number(options.minutes) * 60_000;
const solver = await highsSolver();
const rows = [];
const lived = [];
let cutShort = false;
const farms = options.farms.split(',').map((name) => season.farmFamily.find((traits) => traits.name === name));
const settings = new Map();
for (const traits of farms) settings.set(traits.name, await tunedSettings(traits));
// Seed by seed over all farms, so that what is cut short still has every farm.
for (let seed = first; seed <= last; seed += 1) for (const traits of farms) await liveOne(traits, seed);
write();

async function tunedSettings(traits) {
  const seasons = TUNING_SEEDS.map((seed) => ({ farm: season.familyFarm(traits, seed, weeks), seed }));
  const chosen = {};
  for (const rule of season.ruleNames) chosen[rule] = await season.tunedRule(rule, seasons);
  return chosen;
}

async function liveOne(traits, seed) {
  if (Date.now() > deadline) {
    cutShort = true;
    return;
  }
  const farm = season.familyFarm(traits, seed, weeks);
  const rules = [];
  for (const rule of season.ruleNames) {
    const setting = settings.get(traits.name)[rule];
    rules.push({ ...brief(await season.liveSeason(farm, seed, season.rulePolicy(rule, setting))), setting });
  }
  const startedAt = process.cpuUsage();
  const jarfold = await season.liveSeason(farm, seed, season.jarfoldPolicy(farm.believed));
  const used = process.cpuUsage(startedAt);
  lived.push({ traits, season: jarfold });
  const bound = season.clairvoyantBound(farm, seed, solver, 8);
  const bestRule = rules.reduce((best, rule) => (rule.cost < best.cost ? rule : best));
  const missedAnyway = new Set(bound.missedRuns ?? []);
  rows.push({
    farm: traits.name,
    tuning: traits.tuning,
    misspecified: Object.keys(traits.turns).length > 0,
    seed,
    jarfold: { ...brief(jarfold), msPerReplan: Math.round((used.user + used.system) / 1000 / weeks) },
    rules,
    bestRule: bestRule.policy,
    // On a busy machine the solver may come to no bound in its time; such a season counts for no gap.
    bound: bound.cost > 0 ? round(bound.cost) : null,
    boundMissed: bound.missedRuns?.length ?? null,
    uncoveredThoughPossible: jarfold.uncovered.filter((run) => !missedAnyway.has(run)).length,
    gapClosed: bound.cost > 0 ? round((bestRule.cost - jarfold.cost) / (bestRule.cost - bound.cost)) : null,
    ratioToBound: bound.cost > 0 ? round(jarfold.cost / bound.cost) : null,
  });
  const row = rows.at(-1);
  console.log(
    `${row.farm} ${seed}: jarfold ${row.jarfold.cost} (${row.jarfold.covered}/${row.jarfold.runs}), ` +
      `${bestRule.policy} ${bestRule.cost} (${bestRule.covered}/${bestRule.runs}), bound ${row.bound}, ` +
      `closed ${row.gapClosed}, ${row.jarfold.msPerReplan} ms a replan`,
  );
  write();
}

function brief({ policy, runs, coveredOnTheDay, totals, cost }) {
  const parts = Object.fromEntries(Object.entries(totals.cost).map(([part, money]) => [part, round(money)]));
  const { started, contaminated, agedOut, neverUsed, cycles } = totals;
  const wastedShare = round((agedOut + neverUsed) / Math.max(1, started));
  return {
    policy,
    runs,
    covered: coveredOnTheDay,
    started,
    contaminated,
    agedOut,
    neverUsed,
    wastedShare,
    cycles,
    cost: round(cost),
    parts,
  };
}

function round(value) {
  return Math.round(value * 1000) / 1000;
}

function summary(all) {
  const chosen = all.filter((row) => row.bound !== null);
  if (chosen.length === 0) return null;
  const sum = (pick) => chosen.reduce((total, row) => total + pick(row), 0);
  const best = (row) => row.rules.find(({ policy }) => policy === row.bestRule);
  const closed =
    (sum((row) => best(row).cost) - sum((row) => row.jarfold.cost)) /
    (sum((row) => best(row).cost) - sum((row) => row.bound));
  return {
    seasons: chosen.length,
    farms: new Set(chosen.map(({ farm }) => farm)).size,
    jarfoldCoverage: round(sum((row) => row.jarfold.covered) / sum((row) => row.jarfold.runs)),
    bestRuleCoverage: round(sum((row) => best(row).covered) / sum((row) => best(row).runs)),
    jarfoldCost: round(sum((row) => row.jarfold.cost)),
    bestRuleCost: round(sum((row) => best(row).cost)),
    bound: round(sum((row) => row.bound)),
    gapClosed: round(closed),
    agedOrNeverUsedShare: round(
      sum((row) => row.jarfold.agedOut + row.jarfold.neverUsed) / sum((row) => row.jarfold.started),
    ),
  };
}

function calibrationOf(chosen) {
  const seasons = chosen.map((each) => each.season);
  return { within7Days: season.calibration(seasons, [0, 7]), days8To20: season.calibration(seasons, [8, 20]) };
}

function write() {
  const tight = new Set(season.farmFamily.filter(({ roominess }) => roominess < 1.35).map(({ name }) => name));
  const well = rows.filter((row) => !row.misspecified);
  const wellLived = lived.filter(({ traits }) => Object.keys(traits.turns).length === 0);
  const report = {
    date: new Date().toISOString().slice(0, 10),
    node: process.version,
    processor: cpus()[0]?.model ?? 'unknown',
    asked: { farms: options.farms, seeds: options.seeds, weeks, cutShort },
    notTuned: {
      roomy: summary(well.filter((row) => !row.tuning && !tight.has(row.farm))),
      tight: summary(well.filter((row) => !row.tuning && tight.has(row.farm))),
    },
    tuned: summary(well.filter((row) => row.tuning)),
    misspecified: summary(rows.filter((row) => row.misspecified)),
    calibration: {
      wellSpecified: calibrationOf(wellLived),
      misspecified: calibrationOf(lived.filter((each) => !wellLived.includes(each))),
    },
    rows,
  };
  mkdirSync(RESULTS, { recursive: true });
  writeFileSync(new URL(`${options.out}.json`, RESULTS), `${JSON.stringify(report, null, 2)}\n`);
}
