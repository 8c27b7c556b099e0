/**
 * How much a plan moves from one night to the next. A farm lives some weeks under Jarfold, which plans anew every
 * morning; the starts of the week ahead are set against those of the morning before.
 *
 *   node benchmarks/calm-nights.mjs [--farms a,b,...] [--seeds 1..1] [--weeks 10] [--out NAME]
 *
 * Ordinary mornings are those on which no run became known and on the day before which no bench day fell out; jars ripen
 * and go bad on them as on any other. Unchanged mornings are planned a second time from the same facts: nothing may move.
 * Needs `npm run build`; writes benchmarks/results/NAME.json (calm-nights.json).
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import * as season from '../libs/domain/dist/season/index.js';

const RESULTS = new URL('./results/', import.meta.url);
const HORIZON_DAYS = season.policyHorizonDays;
const WARM_UP_DAYS = 14;
const { values: options } = parseArgs({
  options: {
    farms: { type: 'string', default: 'middle-roomy,middle-tight,many-strains' },
    seeds: { type: 'string', default: '1..1' },
    weeks: { type: 'string', default: '10' },
    out: { type: 'string', default: 'calm-nights' },
  },
});
const [first, last = first] = options.seeds.split('..').map(Number);
const rows = [];
for (let seed = first; seed <= last; seed += 1)
  for (const name of options.farms.split(',')) rows.push(await nightsOf(name, seed));
write();

async function nightsOf(name, seed) {
  const traits = season.farmFamily.find((each) => each.name === name);
  const farm = season.familyFarm(traits, seed, Number(options.weeks) + 12);
  const world = new season.SeasonWorld(farm, seed);
  const policy = season.jarfoldPolicy(farm.believed);
  const row = {
    farm: name,
    seed,
    ...counts('ordinary'),
    ...counts('eventful'),
    movedWithoutNewFacts: 0,
    replannedTwice: 0,
  };
  let before = null;
  let missed = 0;
  let known = new Set();
  for (let day = 0; day < Number(options.weeks) * 7; day += 1) {
    const morning = world.morning(day, HORIZON_DAYS);
    const decision = await policy.decide(morning);
    const runs = new Set(morning.seen.runs.map(({ id }) => id));
    const isOrdinary = knewAllRuns(morning.seen, known) && world.totals.missedBenchDays === missed;
    if (before !== null && day >= WARM_UP_DAYS) tally(row, isOrdinary ? 'ordinary' : 'eventful', before, decision, day);
    if (day % 7 === 3) {
      row.replannedTwice += 1;
      row.movedWithoutNewFacts += movedBetween(
        decision.starts,
        (await policy.decide(morning)).starts,
        day,
        day + 7,
      ).moved;
    }
    known = runs;
    missed = world.totals.missedBenchDays;
    before = decision;
    world.live(day, 1, decision);
  }
  row.ordinaryMovedShare = round(row.ordinaryMoved / Math.max(1, row.ordinaryPlanned));
  row.eventfulMovedShare = round(row.eventfulMoved / Math.max(1, row.eventfulPlanned));
  console.log(JSON.stringify(row));
  return row;
}

function counts(kind) {
  return { [`${kind}Mornings`]: 0, [`${kind}Planned`]: 0, [`${kind}Moved`]: 0 };
}

/** No run is new but those that come into sight at the end of the horizon. */
function knewAllRuns({ asOf, runs, horizonDays }, known) {
  const end = new Date(Date.parse(`${asOf}T00:00:00Z`) + (horizonDays - 1) * 86_400_000).toISOString().slice(0, 10);
  return runs.every(({ id, day }) => known.has(id) || day >= end);
}

function tally(row, kind, before, now, day) {
  // What was to be started yesterday is done; what comes into sight today was in no plan of the week before.
  const { planned, moved } = movedBetween(before.starts, now.starts, day, day + 6);
  row[`${kind}Mornings`] += 1;
  row[`${kind}Planned`] += planned;
  row[`${kind}Moved`] += moved;
}

/** Containers planned for days from a day until before another, and how many of them stand elsewhere now. */
function movedBetween(before, now, from, to) {
  const within = (starts) => starts.filter(({ day }) => day >= from && day < to);
  const left = new Map();
  const key = ({ day, strainId, generation, sizeId }) => [day, strainId, generation, sizeId].join('|');
  let planned = 0;
  for (const start of within(before)) {
    planned += start.containers;
    left.set(key(start), (left.get(key(start)) ?? 0) + start.containers);
  }
  let kept = 0;
  let wanted = 0;
  for (const start of within(now)) {
    wanted += start.containers;
    const had = Math.min(left.get(key(start)) ?? 0, start.containers);
    left.set(key(start), (left.get(key(start)) ?? 0) - had);
    kept += had;
  }
  return { planned: Math.max(planned, wanted), moved: Math.max(planned, wanted) - kept };
}

function round(value) {
  return Math.round(value * 1000) / 1000;
}

function write() {
  const sum = (pick) => rows.reduce((total, row) => total + pick(row), 0);
  const report = {
    date: new Date().toISOString().slice(0, 10),
    node: process.version,
    asked: { farms: options.farms, seeds: options.seeds, weeks: Number(options.weeks) },
    ordinaryMovedShare: round(
      sum((row) => row.ordinaryMoved) /
        Math.max(
          1,
          sum((row) => row.ordinaryPlanned),
        ),
    ),
    movedWithoutNewFacts: sum((row) => row.movedWithoutNewFacts),
    rows,
  };
  mkdirSync(RESULTS, { recursive: true });
  writeFileSync(new URL(`${options.out}.json`, RESULTS), `${JSON.stringify(report, null, 2)}\n`);
}
