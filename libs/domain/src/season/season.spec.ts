import { describe, expect, it } from '@jest/globals';
import { highsSolver } from '../planning/highs-solver.js';
import { calibration } from './calibration.js';
import { clairvoyantBound } from './clairvoyant.js';
import { familyFarm, farmFamily } from './farm-family.js';
import { jarfoldPolicy } from './jarfold-policy.js';
import { liveSeason, type Season } from './live-season.js';
import type { Policy } from './policy.js';
import { ruleNames, rulePolicy } from './rule-policies.js';

const traits = farmFamily.find(({ name }) => name === 'kitchen-two')!;
const farm = familyFarm(traits, 7, 8);
const rule = (name: (typeof ruleNames)[number]) =>
  rulePolicy(name, { allowance: 0.25, earlyDays: 4, spendsMothers: false });
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
    const [tenth, ...others] = calibration([one, two], [0, 7]);
    expect(others).toEqual([]);
    expect(tenth).toMatchObject({ from: 0.9, to: 1, statements: 3 });
    expect(tenth!.stated).toBeCloseTo((0.91 + 0.95 + 0.97) / 3, 9);
    expect(tenth!.realised).toBeCloseTo(2 / 3, 9);
    expect(tenth!.low).toBeLessThanOrEqual(tenth!.realised);
    expect(tenth!.high).toBeGreaterThanOrEqual(tenth!.realised);
  });
});
