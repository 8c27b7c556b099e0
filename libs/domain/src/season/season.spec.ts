import { describe, expect, it } from '@jest/globals';
import { idOf } from '../assurance/held-starts.js';
import { planWithAssurance } from '../assurance/plan-with-assurance.js';
import { highsSolver } from '../planning/highs-solver.js';
import { calibration } from './calibration.js';
import { clairvoyantBound } from './clairvoyant.js';
import { familyFarm, farmFamily } from './farm-family.js';
import { jarfoldPolicy, standingFrom } from './jarfold-policy.js';
import { liveSeason, type Season } from './live-season.js';
import type { Policy, WeekDecision } from './policy.js';
import { ruleNames, rulePolicy } from './rule-policies.js';
import type { SeasonBench } from './world/season-bench.js';
import type { SeasonStock } from './world/season-stock.js';
import { SeasonWorld } from './world/season-world.js';

const traits = farmFamily.find(({ name }) => name === 'kitchen-two')!;
const farm = familyFarm(traits, 7, 8);
const rule = (name: (typeof ruleNames)[number]) =>
  rulePolicy(name, { allowance: 0.25, earlyDays: 4, spendsMothers: false });
/** As a plan is looked for while somebody waits. */
const QUICK = { exact: 'never', draws: 2_000, searchDraws: 250, searchShare: 0.3, trials: 800 } as const;
const nothing: Policy = {
  name: 'nothing',
  decide: () => ({ starts: [], cultures: [], gramsForRun: new Map(), kept: null, handling: null, stated: [] }),
};

describe('a season', () => {
  it('comes again the same from the same seed, and otherwise from another', async () => {
    const once = await liveSeason(farm, 7, rule('lot-for-lot'));
    expect(await liveSeason(farm, 7, rule('lot-for-lot'))).toEqual(once);
    expect((await liveSeason(farm, 8, rule('lot-for-lot'))).totals).not.toEqual(once.totals);
  });

  it.each(ruleNames)('%s loses no jar out of sight and pays for what it starts', async (name) => {
    const { totals } = await liveSeason(farm, 7, rule(name));
    expect(totals.started).toBeGreaterThan(0);
    expect(totals.cost.containers).toBeCloseTo(totals.started * farm.start.costs.perContainerStarted, 6);
    expect(totals.cost.cycles).toBeCloseTo(totals.cycles * farm.start.costs.perCycle, 6);
    expect(totals.contaminated + totals.agedOut + totals.neverUsed).toBeLessThanOrEqual(totals.started);
  });

  it('in which nothing is started covers what stock on hand covers and pays for the rest', async () => {
    const { totals, runs, coveredOnTheDay } = await liveSeason(farm, 7, nothing);
    expect(totals.started).toBe(0);
    expect(coveredOnTheDay).toBeLessThan(runs);
    expect(totals.cost.short).toBeGreaterThan(0);
  });

  it('cannot be had for less than the clairvoyant bound', async () => {
    const bound = clairvoyantBound(farm, 7, await highsSolver(), 5);
    for (const policy of [nothing, ...ruleNames.map(rule)]) {
      expect((await liveSeason(farm, 7, policy)).cost).toBeGreaterThanOrEqual(bound.cost * 0.98);
    }
  });

  it('under Jarfold states how likely each run is, and covers the runs it calls near certain', async () => {
    const season = await liveSeason(
      farm,
      7,
      jarfoldPolicy(farm.believed, { draws: 300, trials: 60, evaluations: 1500 }),
    );
    const sure = season.statements.filter(({ daysBefore, probability }) => daysBefore <= 7 && probability > 0.97);
    expect(sure.length).toBeGreaterThan(0);
    expect(sure.filter(({ covered }) => covered).length / sure.length).toBeGreaterThan(0.8);
  });

  it('planned anew every morning starts on a bench day what was prepared for it', async () => {
    const world = new SeasonWorld(farm, 7);
    const policy = jarfoldPolicy(farm.believed, { draws: 300, trials: 60, evaluations: 1500 });
    const on = (day: number, { starts }: WeekDecision) => starts.filter((start) => start.day === day);
    let eve = await policy.decide(world.morning(0, 56));
    for (let day = 1; day < 21; day += 1) {
      world.live(day - 1, 1, eve);
      const morning = await policy.decide(world.morning(day, 56));
      expect({ day, starts: on(day, morning) }).toEqual({ day, starts: on(day, eve) });
      eve = morning;
    }
    world.live(20, 1, eve);
    expect(world.totals.started).toBeGreaterThan(0);
  });

  it('puts into the cold what a run it was meant for has left over, and not what it is still meant for', () => {
    const { start } = farm;
    const mine = start.strains[0]!;
    const jar = { ...start.stock.find(({ strainId, generation }) => strainId === mine.id && generation === 2)! };
    const stock = [{ ...jar, state: 'ripe' as const, ripeOn: start.asOf }];
    const stateAfter = (weeks: number, usedUntil: number) => {
      const world = new SeasonWorld({ ...farm, runs: [], start: { ...start, stock } }, 7);
      const handling = { moves: [], usedWarm: new Map([[jar.code, usedUntil]]) };
      const decision: WeekDecision = {
        ...{ starts: [], cultures: [], gramsForRun: new Map(), kept: null, stated: [] },
        handling,
      };
      for (let week = 0; week < weeks; week += 1) world.live(7 * week, 7, decision);
      return world.morning(7 * weeks, 56).seen.stock.map(({ state }) => state);
    };
    expect(mine.mayBeChilled).toBe(true);
    expect(stateAfter(4, 3)).toEqual(['chilled']);
    expect(stateAfter(4, 90)).toEqual([]);
  });

  it.each([6, 7])(
    'starts nothing on a bench day whose preparation is over but what is prepared, farm %d',
    async (seed) => {
      const large = familyFarm(farmFamily.find(({ name }) => name === 'many-strains')!, seed, 28);
      const lived = rulePolicy('lot-for-lot', { allowance: 0.3, earlyDays: 4, spendsMothers: false });
      const world = new SeasonWorld(large, seed);
      for (let day = 0; day < 7 * seed; day += 7) world.live(day, 7, await lived.decide(world.morning(day, 84)));
      const eve = await planWithAssurance(world.morning(7 * seed, 112).seen, large.believed, QUICK);
      world.live(7 * seed, 1, await lived.decide(world.morning(7 * seed, 84)));
      const { seen } = world.morning(7 * seed + 1, 112);
      const standing = standingFrom(eve, seen);
      const plan = await planWithAssurance({ ...seen, standing }, large.believed, QUICK);
      const prepared = new Map(
        standing.filter(({ hold }) => hold === 'prepared').map((start) => [idOf(start), start.containers]),
      );
      expect(prepared.size).toBeGreaterThan(0);
      const today = plan.starts.filter(({ benchDay }) => benchDay === seen.asOf);
      expect(today.filter(({ id, containers }) => containers > (prepared.get(id) ?? 0))).toEqual([]);
    },
  );

  it('loses what it loses before it is ripe', () => {
    const lossy = familyFarm(farmFamily.find(({ name }) => name === 'small-lossy')!, 3, 20);
    const wanted = lossy.start.strains.map(({ id }) => ({ strainId: id, sizeId: 'jar', containers: 40 }));
    const lost = Array.from({ length: 40 }, (_, seed) => {
      const { stock, bench } = new SeasonWorld(lossy, seed) as unknown as { stock: SeasonStock; bench: SeasonBench };
      for (const day of stock.benchDays(0, 8))
        bench.work(
          day,
          wanted.map((want) => ({ ...want, day, generation: null })),
        );
      return stock.jars.filter(({ failDay }) => failDay !== null);
    }).flat();
    expect(lost.length).toBeGreaterThan(100);
    expect(lost.filter(({ failDay, ripeDay }) => failDay! > ripeDay)).toEqual([]);
  });

  it('brings no more contamination than its loss rate for long', async () => {
    const roomy = familyFarm(farmFamily.find(({ name }) => name === 'middle-roomy')!, 3, 52);
    const { totals } = await liveSeason(roomy, 3, rule('lot-for-lot'));
    const mean = roomy.start.strains.reduce((sum, { lossRate }) => sum + lossRate, 0) / roomy.start.strains.length;
    const share = totals.contaminated / totals.started;
    expect(share).toBeGreaterThan(mean * 0.5);
    expect(share).toBeLessThan(mean * 1.7);
  });
});

describe('calibration', () => {
  const statement = (run: string, daysBefore: number, probability: number, covered: boolean) => ({
    ...{ run, daysBefore, probability, covered },
  });
  const season = (statements: Season['statements']) => ({ statements }) as Season;

  it('takes the last statement of each run within the days and sets stated against realised', () => {
    const one = season([statement('a', 6, 0.2, true), statement('a', 3, 0.91, true), statement('b', 5, 0.95, false)]);
    const two = season([statement('a', 7, 0.97, true), statement('b', 30, 0.99, true)]);
    const { tenths } = calibration([one, two], [0, 7]);
    const [tenth, ...others] = tenths;
    expect(others).toEqual([]);
    expect(tenth).toMatchObject({ from: 0.9, to: 1, statements: 3 });
    expect(tenth!.stated).toBeCloseTo((0.91 + 0.95 + 0.97) / 3, 9);
    expect(tenth!.realised).toBeCloseTo(2 / 3, 9);
    expect(tenth!.low).toBeLessThanOrEqual(tenth!.realised);
    expect(tenth!.high).toBeGreaterThanOrEqual(tenth!.realised);
  });

  it('sets all statements together against how often runs were covered', () => {
    const one = season([statement('a', 3, 0.9, true), statement('b', 5, 0, false)]);
    const two = season([statement('a', 7, 1, true), statement('b', 2, 0.3, true), statement('b', 9, 1, true)]);
    const { all } = calibration([one, two], [0, 7]);
    expect(all).toMatchObject({ from: 0, to: 1, statements: 4, realised: 0.75, low: 0.5, high: 1, inside: true });
    expect(all.stated).toBeCloseTo(0.55, 9);
  });
});
