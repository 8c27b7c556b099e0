/**
 * How soon the watch finds what is wrong, and how often it cries wolf: planted histories of a farm that makes eight lots
 * of eight jars a week, looked over by the same functions as the server's on the nights after its looks at the jars
 * (Mondays and Thursdays; the server looks every night). Clean years count false flags by
 * kind; planted years count nights from the trouble's first sign to its flag, and whatever else was flagged in them.
 *
 *   node benchmarks/watch.mjs [years] [part of a row's name] [seeds from]
 *
 * Needs `npm run build`; 20 years a row unless said otherwise. Results are kept when all rows are measured from the usual
 * seeds; others show whether a limit was fitted to those.
 */
import { writeFile } from 'node:fs/promises';
import {
  addDays,
  causesSince,
  contaminationCauses,
  contaminationShift,
  findSpecies,
  flagChanges,
  flagKinds,
  flagsOfLog,
  heatMethods,
  rateOverTime,
  ripeningOfStrain,
  seededRandom,
  settledCells,
} from '../libs/domain/dist/index.js';

const YEARS = Number(process.argv[2] ?? 20);
const SEEDS_FROM = Number(process.argv[4] ?? 0);
const FIRST = '2026-01-05';
const DAYS = 365;
/** Before this night there is hardly a history to compare with, as on a farm's first weeks with the product. */
const WATCHED_FROM = 84;
const TROUBLE = 200;
/** Attribution and days to ripe are asked every so many nights, as they move slowly and cost most of the time. */
const SLOW_NIGHTS = 7;
const STRAINS = ['S1', 'S2', 'S3'];
const BASE_RATE = 0.1;
/** A flag's words follow what is known: what it names is told as it was raised and as it stood so many nights on. */
const LATER_NIGHTS = 28;
const LOT_CORRELATION = 0.05;
const USUAL_DAYS_TO_RIPE = { S1: 13, S2: 14, S3: 16 };
const method = heatMethods.find(({ key }) => key === 'pressure');
const { profile } = findSpecies('oyster');

const DATES = Array.from({ length: DAYS + 60 }, (_, day) => addDays(FIRST, day - 30));
const dateOf = (day) => DATES[day + 30];

const odds = (rate, ratio) => {
  const o = (rate / (1 - rate)) * ratio;
  return o / (1 + o);
};

/** Looks are on Mondays and Thursdays; day 0 is a Monday. */
const nextLook = (day) => day + [0, 2, 1, 0, 3, 2, 1][day % 7];
const lastLook = (day) => day - [0, 1, 2, 0, 1, 2, 3][day % 7];

/** All jars a farm makes in a year, with what will be seen of each and when. Benches are on Tuesdays and Fridays. */
function history(seed, trouble) {
  const farm = { random: seededRandom(seed), trouble, lots: [], cycles: [], mothers: new Map() };
  for (let day = 0; day < DAYS; day++) if (day % 7 === 1 || day % 7 === 4) benchDay(farm, day);
  return farm;
}

function benchDay(farm, day) {
  const { random, trouble, cycles } = farm;
  const departed = trouble?.kind === 'cycle-departed' && day >= TROUBLE && !cycles.some((each) => each.departed);
  const holdMin = departed ? 35 : method.holdMin.value + random.whole(10);
  const code = `C${cycles.length + 1}`;
  cycles.push({ code, endedOn: dateOf(day - 1), departed, day: day - 1, holdMin });
  const shared = { cycle: code, operator: `O${1 + random.whole(3)}`, batch: `G${1 + Math.floor(day / 14)}` };
  for (let i = 0; i < 4; i++) makeLot(farm, day, shared);
}

function makeLot({ random, trouble, lots, ...farm }, day, shared) {
  const strain = STRAINS[random.whole(3)];
  const mother = motherOf({ random, trouble, ...farm }, day, strain);
  const shifted = trouble?.kind === 'contamination-shift' && day >= TROUBLE && trouble.on({ strain, ...shared });
  const mean = mother.bad ? 0.9 : shifted ? odds(BASE_RATE, trouble.oddsRatio) : BASE_RATE;
  const total = 1 / LOT_CORRELATION - 1;
  const rate = random.beta(mean * total, (1 - mean) * total);
  const code = `L${lots.length + 1}`;
  const slow = trouble?.kind === 'slow-lot' && day >= TROUBLE && !trouble.lot;
  if (slow) trouble.lot = code;
  // A lot as a whole is a little quicker or slower than its strain: its grain, its place in the room.
  const pace = USUAL_DAYS_TO_RIPE[strain] * Math.exp(0.06 * random.normal()) * (slow ? 1.5 : 1);
  const jars = Array.from({ length: 8 }, (_, j) => ({ code: `${code}/${j + 1}`, ...fateOf(random, day, rate, pace) }));
  lots.push({ code, day, strain, mother, ...shared, jars });
}

function fateOf(random, day, rate, pace) {
  const bad = random.uniform() < rate;
  const ripe = pace * (-Math.log(1 - random.uniform())) ** (1 / 14);
  const shows = 3 + Math.floor(11 * random.uniform() ** 1.5);
  return {
    badAt: bad ? nextLook(day + shows) : null,
    ripeAt: bad ? null : nextLook(Math.ceil(day + ripe)),
    goneAt: day + (bad ? shows + 4 : Math.ceil(ripe) + 4 + random.whole(14)),
  };
}

/** A mother serves two lots of her strain. */
function motherOf(farm, day, strain) {
  const known = farm.mothers.get(strain);
  if (known && known.left > 0) {
    known.left--;
    return known;
  }
  const bad = farm.trouble?.kind === 'bad-mother' && day >= TROUBLE && !farm.trouble.planted;
  if (bad) farm.trouble.planted = true;
  const mother = { name: `M${day}-${strain}-${farm.random.whole(1_000_000)}`, left: 1, madeOn: day - 20, bad };
  farm.mothers.set(strain, mother);
  return mother;
}

/** What the log shows on a night. */
function seenAt({ lots }, night, causes) {
  const asOf = dateOf(night);
  const made = lots.filter(({ day }) => day <= night);
  const count = (jars, test) => jars.filter(test).length;
  const cells = made.map((lot) => {
    const bad = count(lot.jars, ({ badAt }) => badAt !== null && badAt <= night);
    return {
      ...{
        lotId: lot.code,
        madeOn: dateOf(lot.day),
        blank: false,
        strainId: lot.strain,
        grainBatchId: lot.batch,
      },
      ...{ cycleId: lot.cycle, method: 'pressure', operatorId: lot.operator, motherId: lot.mother.name, roomId: 'R' },
      ...{ jars: 8, contaminated: bad, lost: bad },
    };
  });
  const counted = settledCells(cells, asOf);
  const mayName = (factor) => factor !== 'operator';
  const asked = night % SLOW_NIGHTS === 0 ? contaminationCauses(counted, mayName) : null;
  const shiftSeen = contaminationShift(rateOverTime(counted, 'week'), asOf);
  const shift = shiftSeen && { seen: shiftSeen, found: causesSince(counted, shiftSeen.began, mayName) };
  const found = asked === null ? causes : asked.kind === 'attribution' ? asked.causes : [];
  const lately = made.filter(({ day }) => day >= night - 120);
  const mothers = [...new Map(lately.map(({ mother }) => [mother.name, mother])).values()];
  const line = [
    ...mothers.map(({ name, madeOn, left }) => ({
      ...{ code: name, mothers: [], seen: 'good', onHand: left > 0, badOn: null, load: null },
      madeOn: dateOf(madeOn),
    })),
    ...lately.flatMap((lot) =>
      lot.jars.map(({ code, badAt, ripeAt, goneAt }) => {
        const [bad, ripe] = [badAt !== null && badAt <= night, ripeAt !== null && ripeAt <= night];
        return {
          ...{ code, mothers: [lot.mother.name], seen: bad ? 'bad' : ripe ? 'good' : null, onHand: goneAt > night },
          ...{ madeOn: dateOf(lot.day), badOn: bad ? dateOf(badAt) : null, load: lot.cycle },
        };
      }),
    ),
  ];
  return { asOf, shift, causes: found, line, lately };
}

function lookOver(farm, night, memory) {
  const { asOf, shift, causes, line, lately } = seenAt(farm, night, memory.causes);
  memory.causes = causes;
  const looked = lastLook(night);
  const unripeLots = lately.flatMap((lot) => {
    const clean = lot.jars.filter(({ badAt }) => badAt === null || badAt > night);
    const unripe = clean.filter(({ ripeAt, goneAt }) => goneAt > night && (ripeAt === null || ripeAt > night)).length;
    if (unripe === 0 || looked <= lot.day) return [];
    const ripe = clean.filter(({ ripeAt }) => ripeAt !== null && ripeAt <= night).length;
    const about = { code: lot.code, strainId: lot.strain, madeOn: dateOf(lot.day) };
    return [{ ...about, unripeAtDays: looked - lot.day, unripe, ripe }];
  });
  if (night % 14 === 0 || !memory.ripening)
    memory.ripening = new Map(
      STRAINS.map((strain) => [strain, ripeningOfStrain(ripenings(farm, strain, night), 14, profile).onThisFarm]),
    );
  const cycles = farm.cycles
    .filter(({ day }) => day <= night && day > night - 14)
    .map(({ code, endedOn, holdMin }) => ({
      ...{ code, endedOn },
      record: {
        ...{ method, altitudeM: 0, declaredHoldMin: method.holdMin.value, trace: null, holdMin },
        ...{ gaugePressureKpa: 105, comeUpAllowanceMin: 0, interrupted: false },
      },
    }));
  return flagsOfLog({ shift, causes, line, unripeLots, ripening: memory.ripening, cycles }, ({ level }) => level, asOf);
}

/** Looks of the strain's jars: last unripe and first ripe. */
function ripenings({ lots }, strain, night) {
  const kinds = new Map();
  for (const lot of lots) {
    if (lot.strain !== strain || lot.day > night) continue;
    for (const { ripeAt, badAt } of lot.jars) {
      if (badAt !== null) continue;
      const byDays = ripeAt <= night ? ripeAt - lot.day : null;
      const last = byDays === null ? lastLook(night) : lastLook(ripeAt - 1);
      const afterDays = Math.max(0, last - lot.day);
      const key = `${afterDays}/${byDays}`;
      const kind = kinds.get(key) ?? {
        strainId: strain,
        generation: 2,
        roomId: 'R',
        temperatureC: 24,
        afterDays,
        byDays,
        jars: 0,
      };
      kind.jars++;
      kinds.set(key, kind);
    }
  }
  return [...kinds.values()];
}

/** A year of nights: each flag once, when it was raised; flags that stood or came back are no news, as on the server. */
function year(seed, trouble, from = WATCHED_FROM) {
  const farm = history(seed, trouble);
  const memory = { causes: [] };
  const raised = [];
  let standing = [];
  const settled = new Map();
  for (let night = from; night < DAYS; night++) {
    if (nextLook(night) !== night) continue;
    const lately = [...settled].filter(([, at]) => at >= night - 14).map(([cause]) => cause);
    const changes = flagChanges(standing, lookOver(farm, night, memory), lately);
    for (const flag of changes.raise) raised.push({ night, flag, later: flag });
    for (const flag of [...changes.keep, ...changes.back]) {
      const first = raised.findLast((each) => each.flag.cause === flag.cause);
      if (first && night <= first.night + LATER_NIGHTS) first.later = flag;
    }
    for (const cause of changes.settle) settled.set(cause, night);
    standing = [...changes.raise, ...changes.keep, ...changes.back].map(({ cause }) => cause);
  }
  return { farm, raised };
}

const MONTHS = (DAYS - WATCHED_FROM) / (365.25 / 12);
const round = (value, digits = 3) => Number(value.toFixed(digits));

function clean() {
  const counts = Object.fromEntries(flagKinds.map((kind) => [kind, 0]));
  for (let seed = 0; seed < YEARS; seed++)
    for (const { flag } of year(SEEDS_FROM + 10_000 + seed, null).raised) counts[flag.kind]++;
  const perMonth = Object.fromEntries(
    ['contamination-shift', 'bad-mother', 'slow-lot', 'cycle-departed'].map((kind) => [
      kind,
      round(counts[kind] / (YEARS * MONTHS)),
    ]),
  );
  return {
    farmMonths: round(YEARS * MONTHS, 1),
    falseFlagsPerFarmMonth: {
      ...perMonth,
      all: round(Object.values(counts).reduce((a, b) => a + b) / (YEARS * MONTHS)),
    },
  };
}

const BAD_BATCH = `G${1 + Math.floor((TROUBLE + 13) / 14)}`;

/** The night of the trouble's first sign: the first bad jar, or the day the thing was done. */
const planted = {
  'a shift of every lot, odds 2': { make: () => shift(2, () => true), hit: isShift, names: 'something all lots' },
  'a shift of every lot, odds 3': { make: () => shift(3, () => true), hit: isShift, names: 'something all lots' },
  'a strain, odds 4': {
    make: () => shift(4, ({ strain }) => strain === 'S2'),
    hit: isShift,
    names: 'strain S2',
  },
  'one bad grain batch, odds 6': {
    make: () => shift(6, ({ batch }) => batch === BAD_BATCH),
    hit: isShift,
    names: `grain batch ${BAD_BATCH}`,
  },
  'a bad mother': {
    make: () => ({ kind: 'bad-mother' }),
    hit: ({ flag }, { lots }) =>
      flag.kind === 'bad-mother' && flag.cause === `bad-mother/${lots.find(({ mother }) => mother.bad).mother.name}`,
    from: ({ lots }) =>
      Math.min(
        ...lots.filter(({ mother }) => mother.bad).flatMap(({ jars }) => jars.flatMap(({ badAt }) => badAt ?? [])),
      ),
  },
  'a slow lot, half as long again': {
    make: () => ({ kind: 'slow-lot' }),
    hit: ({ flag }, _farm, trouble) => flag.cause === `slow-lot/${trouble.lot}`,
    from: ({ lots }, trouble) => {
      const lot = lots.find(({ code }) => code === trouble.lot);
      return lot.day + USUAL_DAYS_TO_RIPE[lot.strain];
    },
  },
  'a cycle held too short': {
    make: () => ({ kind: 'cycle-departed' }),
    hit: ({ flag }, { cycles }) => flag.cause === `cycle-departed/${cycles.find(({ departed }) => departed).code}`,
    from: ({ cycles }) => cycles.find(({ departed }) => departed).day,
  },
};

function shift(oddsRatio, on) {
  return { kind: 'contamination-shift', oddsRatio, on };
}
function isShift({ flag, night }) {
  return flag.kind === 'contamination-shift' && night >= TROUBLE;
}

/** What a flag says of the cause: the planted one, it among others that go with it, another one, or nothing yet. */
function told({ why }, names) {
  if (why.startsWith('There is not enough data')) return 'not enough data';
  const named = why.toLowerCase().includes(names.toLowerCase());
  if (why.startsWith('Not sure yet')) return named ? 'suspected' : 'other suspected';
  if (!named) return why.startsWith('Something all lots') ? 'all lots alike' : 'other named';
  return why.includes('cannot tell which') ? 'named in a set' : 'named';
}

function counted(flags, names) {
  const counts = {};
  for (const flag of flags) counts[told(flag, names)] = (counts[told(flag, names)] ?? 0) + 1;
  return counts;
}

function measured(name, { make, hit, names = null, from = () => TROUBLE }) {
  const delays = [];
  const flags = [];
  let others = 0;
  for (let seed = 0; seed < YEARS; seed++) {
    const trouble = make();
    const { farm, raised } = year(SEEDS_FROM + 20_000 + seed, trouble, TROUBLE - 14);
    const found = raised.find((each) => hit(each, farm, trouble));
    if (found) delays.push(found.night - from(farm, trouble));
    if (found && names !== null) flags.push(found);
    others += raised.filter((each) => each.night >= TROUBLE && !hit(each, farm, trouble)).length;
  }
  delays.sort((one, other) => one - other);
  const at = (share) => delays[Math.min(delays.length - 1, Math.floor(share * delays.length))] ?? null;
  const causes = (when) =>
    counted(
      flags.map((each) => each[when]),
      names,
    );
  return {
    ...{ planted: name, years: YEARS, found: delays.length, daysToFindMedian: at(0.5), daysToFindNineInTen: at(0.9) },
    ...(names === null ? {} : { causeWhenRaised: causes('flag'), causeFourWeeksLater: causes('later') }),
    otherFlagsPerFarmMonth: round(others / (YEARS * ((DAYS - TROUBLE) / 30.44))),
  };
}

const only = process.argv[3];
const before = process.cpuUsage();
const falseFlags = only && only !== 'clean' ? null : clean();
const rows = Object.entries(planted)
  .filter(([name]) => !only || name.includes(only))
  .map(([name, each]) => measured(name, each));
const { user, system } = process.cpuUsage(before);
console.log(JSON.stringify(falseFlags, null, 2));
console.log(JSON.stringify(rows, null, 1));
console.log(`${Math.round((user + system) / 1e6)} s of processor time`);
if (!only && SEEDS_FROM === 0)
  await writeFile(
    new URL('./results/watch.json', import.meta.url),
    `${JSON.stringify({ date: new Date().toISOString().slice(0, 10), node: process.version, yearsPerRow: YEARS, ...falseFlags, planted: rows }, null, 2)}\n`,
  );
