/**
 * The parts of a season's comparison, each kept in a file of its own when a folder is given: what was lived once need not
 * be lived again when a run is cut short, and the rules and the bound, which know nothing of the planner, can be worked
 * out beforehand.
 */
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import * as season from '../libs/domain/dist/season/index.js';

const TUNING_SEEDS = [1001, 1002, 1003];
/** The statements calibration looks at, by days before the run. */
export const WINDOWS = { within7Days: [0, 7], days8To20: [8, 20] };

/** The settings of each rule that were cheapest on other seeds. */
export function tunedSettings(traits, { weeks, kept }) {
  return once(kept, `settings-${traits.name}-${weeks}`, async () => {
    const seasons = TUNING_SEEDS.map((seed) => ({ farm: season.familyFarm(traits, seed, weeks), seed }));
    const chosen = {};
    for (const rule of season.ruleNames) chosen[rule] = await season.tunedRule(rule, seasons);
    return chosen;
  });
}

/** One season under every rule, and what it would cost somebody who knows it. */
export function livedByRules(traits, seed, { weeks, kept, solver, boundSeconds }) {
  return once(kept, `rules-${traits.name}-${seed}-${weeks}`, async () => {
    const settings = await tunedSettings(traits, { weeks, kept });
    const farm = season.familyFarm(traits, seed, weeks);
    const rules = [];
    for (const rule of season.ruleNames) {
      const setting = settings[rule];
      rules.push({ ...brief(await season.liveSeason(farm, seed, season.rulePolicy(rule, setting))), setting });
    }
    const { cost, missedRuns } = season.clairvoyantBound(farm, seed, solver, boundSeconds);
    // On a busy machine the solver may come to no bound in its time; such a season counts for no gap.
    return { rules, bound: cost > 0 ? round(cost) : null, missedRuns };
  });
}

/** One season under Jarfold, with the processor time a replan took. */
export function livedByJarfold(traits, seed, { weeks, kept }) {
  return once(kept, `jarfold-${traits.name}-${seed}-${weeks}`, async () => {
    const farm = season.familyFarm(traits, seed, weeks);
    const startedAt = process.cpuUsage();
    // As the service plans: chance changes the starts afterwards, so the plan of least expected cost is not proven.
    const lived = await season.liveSeason(farm, seed, season.jarfoldPolicy(farm.believed, { exact: 'never' }));
    const used = process.cpuUsage(startedAt);
    const msPerReplan = Math.round((used.user + used.system) / 1000 / weeks);
    return { ...brief(lived), msPerReplan, uncovered: lived.uncovered, statements: lookedAt(lived.statements) };
  });
}

/** For each run the last statement in each window. */
function lookedAt(statements) {
  const last = new Map();
  for (const statement of statements)
    for (const [name, [from, to]] of Object.entries(WINDOWS)) {
      const { daysBefore, run } = statement;
      const before = last.get(`${name}|${run}`);
      if (daysBefore >= from && daysBefore <= to && !(before?.daysBefore <= daysBefore))
        last.set(`${name}|${run}`, statement);
    }
  return [...last.values()];
}

async function once(folder, name, work) {
  if (folder === undefined) return work();
  const file = join(folder, `${name}.json`);
  if (existsSync(file)) return JSON.parse(readFileSync(file, 'utf8'));
  const made = await work();
  mkdirSync(folder, { recursive: true });
  writeFileSync(`${file}.new`, JSON.stringify(made));
  renameSync(`${file}.new`, file);
  return made;
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

export function round(value) {
  return Math.round(value * 1000) / 1000;
}
