/**
 * Whether a farm is better off with Jarfold than with a rule of thumb: seasons of 52 weeks on the generated family.
 *
 *   node benchmarks/season.mjs [--farms a,b,...] [--seeds 1..10] [--weeks 52] [--minutes 60] [--out NAME]
 *       [--kept FOLDER] [--rules-only | --jarfold-only] [--bound-seconds 8]
 *
 * For each farm the rules' settings are swept on seeds 1001 to 1003 and the cheapest is kept; then every policy lives the
 * same seasons. The gap closed is (best rule − Jarfold) / (best rule − clairvoyant bound). Farms marked `tuning` were
 * looked at while Jarfold was made and are told apart. Stops starting seasons after so many minutes and says so. What is
 * found in the folder kept is not lived again: whoever changes the planner throws its `jarfold-` files away.
 * Needs `npm run build`; writes benchmarks/results/NAME.json (season.json).
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { parseArgs } from 'node:util';
import { highsSolver } from '../libs/domain/dist/planning/highs-solver.js';
import * as season from '../libs/domain/dist/season/index.js';
import { livedByJarfold, livedByRules, round, WINDOWS } from './season-parts.mjs';

const RESULTS = new URL('./results/', import.meta.url);
const { values: options } = parseArgs({
  options: {
    farms: { type: 'string', default: season.farmFamily.map(({ name }) => name).join(',') },
    seeds: { type: 'string', default: '1..10' },
    weeks: { type: 'string', default: '52' },
    minutes: { type: 'string', default: '60' },
    out: { type: 'string', default: 'season' },
    kept: { type: 'string' },
    'rules-only': { type: 'boolean', default: false },
    'jarfold-only': { type: 'boolean', default: false },
    'bound-seconds': { type: 'string', default: '8' },
  },
});
const [first, last = first] = options.seeds.split('..').map(Number);
const weeks = Number(options.weeks);
const deadline = Date.now() + Number(options.minutes) * 60_000;
/** Notice beyond what spawn takes to grow ripe: with bench days twice or once a week, less leaves one to three of them. */
const LATE_DAYS = 10;
const how = {
  weeks,
  kept: options.kept,
  solver: await highsSolver(),
  boundSeconds: Number(options['bound-seconds']),
};
const rows = [];
const lived = [];
let cutShort = false;
const farms = options.farms.split(',').map((name) => season.farmFamily.find((traits) => traits.name === name));
// Seed by seed over all farms, so that what is cut short still has every farm.
for (let seed = first; seed <= last; seed += 1) for (const traits of farms) await liveOne(traits, seed);
if (!options['rules-only']) write();

async function liveOne(traits, seed) {
  if (Date.now() > deadline) {
    cutShort = true;
    return;
  }
  const alone = { rules: [], bound: null, missedRuns: null };
  const { rules, bound, missedRuns } = options['jarfold-only'] ? alone : await livedByRules(traits, seed, how);
  const bestRule = rules.reduce((best, rule) => (best && best.cost <= rule.cost ? best : rule), null);
  if (options['rules-only']) {
    console.log(`${traits.name} ${seed}: ${bestRule.policy} ${bestRule.cost}, bound ${bound}`);
    return;
  }
  const { uncovered, statements, ...jarfold } = await livedByJarfold(traits, seed, how);
  lived.push({ traits, season: { statements } });
  const missedAnyway = new Set(missedRuns ?? []);
  const announced = byNotice(season.familyFarm(traits, seed, weeks), uncovered);
  rows.push({
    farm: traits.name,
    tuning: traits.tuning,
    misspecified: Object.keys(traits.turns).length > 0,
    seed,
    jarfold,
    rules,
    bestRule: bestRule?.policy ?? null,
    bound,
    boundMissed: missedRuns?.length ?? null,
    ...announced,
    uncoveredThoughPossible: uncovered.filter((run) => !missedAnyway.has(run)).length,
    gapClosed: bound === null ? null : round((bestRule.cost - jarfold.cost) / (bestRule.cost - bound)),
    ratioToBound: bound === null ? null : round(jarfold.cost / bound),
  });
  const row = rows.at(-1);
  const beside = bestRule
    ? `${bestRule.policy} ${bestRule.cost} (${bestRule.covered}/${bestRule.runs}), bound ${bound}, closed ${row.gapClosed}, `
    : '';
  console.log(
    `${row.farm} ${seed}: jarfold ${jarfold.cost} (${jarfold.covered}/${jarfold.runs}), ${beside}` +
      `${jarfold.msPerReplan} ms a replan`,
  );
  write();
}

/** Runs told of while all of their spawn could still be made, and those told of when hardly one bench day was left for it. */
function byNotice({ start, runs }, uncovered) {
  const missed = new Set(uncovered);
  const from = Date.parse(start.asOf);
  const days = (later, earlier) => (Date.parse(later) - earlier) / 86_400_000;
  const of = (chosen) => ({ runs: chosen.length, covered: chosen.filter(({ run }) => !missed.has(run.id)).length });
  const ripensIn = ({ run }) => start.strains.find(({ id }) => id === run.strainIds[0]).daysToRipe;
  const lived = runs.filter(({ run }) => days(run.day, from) < weeks * 7);
  const isLate = (known) => days(known.run.day, Date.parse(known.knownOn)) < ripensIn(known) + LATE_DAYS;
  return {
    announcedInTime: of(lived.filter((known) => !isLate(known))),
    announcedLate: of(lived.filter(isLate)),
  };
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
    ...underJarfold(chosen),
    bestRuleCoverage: round(sum((row) => best(row).covered) / sum((row) => best(row).runs)),
    uncoveredThoughPossibleShare: round(sum((row) => row.uncoveredThoughPossible) / sum((row) => row.jarfold.runs)),
    bestRuleCost: round(sum((row) => best(row).cost)),
    bound: round(sum((row) => row.bound)),
    gapClosed: round(closed),
  };
}

function byFarm(all) {
  const names = [...new Set(all.map(({ farm }) => farm))];
  return Object.fromEntries(
    names.map((name) => {
      const own = all.filter(({ farm }) => farm === name);
      return [name, { seasons: own.length, ...underJarfold(own) }];
    }),
  );
}

/** What the seasons lived under Jarfold came to, whatever else lived them. */
function underJarfold(chosen) {
  const sum = (pick) => chosen.reduce((total, row) => total + pick(row), 0);
  const covered = (of) => round(sum((row) => of(row).covered) / sum((row) => of(row).runs));
  return {
    jarfoldCoverage: covered(({ jarfold }) => jarfold),
    coverageAnnouncedInTime: covered(({ announcedInTime }) => announcedInTime),
    coverageAnnouncedLate: covered(({ announcedLate }) => announcedLate),
    jarfoldCost: round(sum((row) => row.jarfold.cost)),
    agedOrNeverUsedShare: round(
      sum((row) => row.jarfold.agedOut + row.jarfold.neverUsed) / sum((row) => row.jarfold.started),
    ),
  };
}

function calibrationOf(chosen) {
  const seasons = chosen.map((each) => each.season);
  return Object.fromEntries(
    Object.entries(WINDOWS).map(([name, window]) => [name, season.calibration(seasons, window)]),
  );
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
    farms: byFarm(rows),
    calibration: {
      wellSpecified: calibrationOf(wellLived),
      misspecified: calibrationOf(lived.filter((each) => !wellLived.includes(each))),
    },
    rows,
  };
  mkdirSync(RESULTS, { recursive: true });
  writeFileSync(new URL(`${options.out}.json`, RESULTS), `${JSON.stringify(report, null, 2)}\n`);
}
