/**
 * What the farm's numbers cost, at three sizes each, so that the growth with size is seen. Processor time of this
 * process, since the machine may be busy with other work; the median of a few runs.
 *
 *   node benchmarks/mathematics.mjs      (needs `npm run build`)
 */
import { writeFile } from 'node:fs/promises';
import { cpus, loadavg } from 'node:os';
import {
  attribute,
  chilledSurvival,
  contaminationHazard,
  demandForecast,
  efficiencyByGroup,
  jarBalance,
  lineageOf,
  rateChart,
  rateEwma,
  recall,
  seededRandom,
  shrunkRates,
  strainRipening,
  suspicion,
  usualCardinals,
} from '../libs/domain/dist/index.js';
import { loadSimulatedFarm } from './load-simulated-farm.mjs';

const { simulatedFarmYear, usualFarm } = await loadSimulatedFarm();
const RUNS = 3;

function processorMs(work) {
  const times = Array.from({ length: RUNS }, () => {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  }).sort((a, b) => a - b);
  return Math.round(times[Math.floor(RUNS / 2)] * 10) / 10;
}

const planted = { factor: 'operator', level: 'O2', oddsRatio: 2 };

function attributionCase(lots) {
  const farm = simulatedFarmYear(lots, { ...usualFarm, lots, planted });
  return () => attribute(farm.lots, farm.blanks);
}

/** Lots of eight jars, each lot from one jar of an earlier lot of one of four lines. */
function lineageCase(lots) {
  const random = seededRandom(lots);
  const jars = [];
  for (let lot = 0; lot < lots; lot++) {
    const mother = lot < 4 ? `plate-${lot}` : `lot-${Math.max(0, lot - 1 - random.whole(40))}/${random.whole(8)}`;
    for (let jar = 0; jar < 8; jar++) jars.push({ code: `lot-${lot}/${jar}`, mothers: [mother] });
  }
  return jars;
}

function recallCase(lots) {
  const jars = lineageCase(lots);
  return () => {
    const found = recall(lineageOf(jars), ['plate-0']);
    const fate = (code) => ({ code, fate: 'used', madeG: 500, drawnG: 480, leftG: 0, discardedG: 20 });
    return jarBalance(found.descendants.map(({ code }) => fate(code)));
  };
}

function suspicionCase(lots) {
  const lineage = lineageOf(lineageCase(lots));
  const seen = new Map([...lineage.mothersOf.keys()].map((code, i) => [code, i % 9 === 0 ? 'bad' : 'good']));
  return () => suspicion(lineage, seen);
}

/** Everything a rates view shows, from as many jars as so many bench entries make: eight entries to a jar. */
function allRatesCase(entries) {
  const lotCount = entries / 64;
  const farm = simulatedFarmYear(entries, { ...usualFarm, lots: lotCount, planted });
  const random = seededRandom(entries);
  const jars = Array.from({ length: entries / 8 }, () => {
    const days = 1 + random.whole(20);
    return { days, contaminated: random.uniform() < 0.1 };
  });
  const ripening = Array.from({ length: entries / 8 }, () => {
    const after = 9 + random.whole(8);
    return {
      afterDays: after,
      byDays: random.uniform() < 0.1 ? null : after + 3,
      generation: 1 + random.whole(3),
      temperatureC: 22 + random.whole(4),
    };
  });
  const restarts = Array.from({ length: entries / 100 }, () => ({
    daysChilled: 20 + random.whole(100),
    regrew: random.uniform() < 0.8,
  }));
  const runs = Array.from({ length: entries / 500 }, (_, i) => ({
    group: `strain ${i % 6}`,
    efficiency: 0.75 + 0.2 * random.normal(),
  })).map((run) => ({ ...run, efficiency: Math.max(0, run.efficiency) }));
  const perWeek = Math.ceil(lotCount / 200);
  const weeks = Array.from({ length: 200 }, (_, week) => {
    const lots = farm.lots.slice(week * perWeek, (week + 1) * perWeek);
    return {
      label: `week ${week + 1}`,
      hits: lots.reduce((sum, lot) => sum + lot.contaminated, 0),
      n: lots.reduce((sum, lot) => sum + lot.jars, 0),
    };
  });
  const published = { mean: 0.1, jars: 20 };
  return () => {
    for (const factor of ['lot', 'strain', 'mother', 'grain', 'cycle', 'operator', 'room', 'method']) {
      const groups = new Map();
      for (const { id, contaminated, jars: n, factors } of farm.lots) {
        const key = factor === 'lot' ? id : factors[factor];
        const group = groups.get(key) ?? { key, hits: 0, n: 0 };
        group.hits += contaminated;
        group.n += n;
        groups.set(key, group);
      }
      shrunkRates([...groups.values()], published);
    }
    const chart = rateChart(weeks);
    rateEwma(weeks, chart.centre, Math.max(1, chart.sigmaZ));
    contaminationHazard(jars);
    attribute(farm.lots, farm.blanks);
    strainRipening(ripening, { publishedDays: 14, referenceC: 24, cardinals: usualCardinals(26, false) });
    chilledSurvival(restarts, 60);
    efficiencyByGroup(runs, 0.75);
    demandForecast(
      weeks.map(({ n }) => n * 100),
      8,
    );
  };
}

const cases = [
  ['attribution', 'lots', [500, 1000, 2000, 4000], attributionCase],
  ['recall and balance of a line', 'lots', [2500, 5000, 10_000], recallCase],
  ['suspicion along lineage', 'lots', [2500, 5000, 10_000], suspicionCase],
  ['all rates of a grower', 'bench entries', [50_000, 100_000, 200_000], allRatesCase],
];
const results = cases.map(([name, unit, sizes, prepare]) => ({
  name,
  unit,
  processorMs: Object.fromEntries(
    sizes.map((size) => {
      const work = prepare(size);
      work();
      return [size, processorMs(work)];
    }),
  ),
}));
console.log(JSON.stringify(results, null, 2));
await writeFile(
  new URL('./results/mathematics.json', import.meta.url),
  `${JSON.stringify({ date: new Date().toISOString().slice(0, 10), node: process.version, cpu: cpus()[0]?.model, cores: cpus().length, load: loadavg()[0], results }, null, 2)}\n`,
);
