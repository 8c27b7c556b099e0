/**
 * What attribution finds, by how rare the bad level is and how bad: farm-years of 400 lots of 8 jars, base rate 10 %,
 * correlation 0.05 between jars of a lot, a blank in every cycle. "Not enough data" is counted apart from a miss.
 *
 *   node benchmarks/attribution-power.mjs [years]      (needs `npm run build`; 200 years a row unless said otherwise)
 */
import { writeFile } from 'node:fs/promises';
import { attribute } from '../libs/domain/dist/index.js';
import { loadSimulatedFarm } from './load-simulated-farm.mjs';

const YEARS = Number(process.argv[2] ?? 200);
const { commonLevels, simulatedFarmYear, usualFarm } = await loadSimulatedFarm();

/** A cycle whose own bad day made its jars' odds so much worse is rightly named, though nobody planted it. */
const GUILTY_ODDS = 1.5;

/** Outcomes of many years with one planted level. */
function measure(settingsOf) {
  const counts = {
    found: 0,
    suspected: 0,
    'no sign': 0,
    'not enough data': 0,
    innocentsBlamed: 0,
    othersNamed: 0,
    sets: 0,
  };
  for (let year = 0; year < YEARS; year++) {
    const { settings, target } = settingsOf(year);
    const { lots, blanks, cycleOdds } = simulatedFarmYear(1_000_000 + year, { ...usualFarm, ...settings });
    const result = attribute(lots, blanks);
    const isTarget = (member) => target && member.factor === target.factor && member.level === target.level;
    const hit = result.causes?.some(({ members }) => members.some(isTarget));
    const isGuilty = (member) => isTarget(member) || cycleOdds.get(member.level) >= GUILTY_ODDS;
    if (result.causes?.some(({ members }) => !members.some(isGuilty))) counts.innocentsBlamed++;
    if (result.causes?.some(({ members }) => !members.some(isTarget))) counts.othersNamed++;
    if (result.causes?.some(({ members }) => members.length > 1)) counts.sets++;
    if (!target) continue;
    if (hit) counts.found++;
    else counts[result.levels?.find(isTarget)?.verdict ?? 'not enough data']++;
  }
  return Object.fromEntries(
    Object.entries(counts).map(([name, count]) => [name, Math.round((1000 * count) / YEARS) / 10]),
  );
}

const rows = [{ planted: 'nothing', share: '', oddsRatio: '', ...measure(() => ({ settings: {}, target: null })) }];
for (const oddsRatio of [2, 3]) {
  const common = measure((year) => {
    const target = commonLevels[year % commonLevels.length];
    return { settings: { planted: { ...target, oddsRatio } }, target };
  });
  rows.push({ planted: 'a common level', share: '>= 20 %', oddsRatio, ...common });
}
for (const share of [0.01, 0.02, 0.05, 0.1])
  for (const oddsRatio of [2, 3, 5]) {
    const target = { factor: 'strain', level: 'S-rare' };
    const rare = measure(() => ({ settings: { planted: { ...target, oddsRatio }, rareShare: share }, target }));
    rows.push({ planted: 'a rare strain', share: `${100 * share} %`, oddsRatio, ...rare });
  }
const shaken = measure((year) => {
  const target = commonLevels[year % commonLevels.length];
  return { settings: { planted: { ...target, oddsRatio: 2 }, cycleShock: 0.5 }, target };
});
rows.push({ planted: 'a common level, cycles shaken', share: '>= 20 %', oddsRatio: 2, ...shaken });

console.table(rows);
const note =
  'percent of farm-years; an innocent is a named level that was not planted, unless it is a cycle whose own bad day made the odds half as bad again or worse; othersNamed counts those too';
await writeFile(
  new URL('./results/attribution-power.json', import.meta.url),
  `${JSON.stringify({ date: new Date().toISOString().slice(0, 10), node: process.version, yearsPerRow: YEARS, note, rows }, null, 2)}\n`,
);
