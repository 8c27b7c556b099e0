import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { addDays } from '../calendar/calendar-day.js';
import type { BulkRun, FarmSituation, StrainProfile } from '../planning/situation.js';
import { usualChance } from './farm-chance.js';
import { planWithAssurance } from './plan-with-assurance.js';

const farm = kitchen();
const oyster = farm.strains[0]!;
const [usualRun] = farm.runs;

const runOf = (id: string, days: number, changes: Partial<BulkRun> = {}): BulkRun => ({
  ...{ ...usualRun!, id, day: addDays(farm.asOf, days) },
  ...changes,
});

/** A second strain that is planned for as if nothing was amiss with the first. */
const second: StrainProfile = { ...oyster, id: 'shiitake', daysToRipe: 20 };
const secondRun = runOf('second', 35, { strainIds: ['shiitake'] });
const secondMother = stockJar({ code: 'S-1', strainId: 'shiitake' });

async function planned(changes: Partial<FarmSituation>) {
  const situation = kitchen(changes);
  const plan = await planWithAssurance(situation, usualChance(situation), { exact: 'never', draws: 400 });
  const chance = (run: string) => plan.runs.find((each) => each.run === run)!.probability!;
  const whyBelow = (run: string) => plan.assurance.below.find((each) => each.run === run)?.limit;
  const started = (strain: string) =>
    plan.starts.filter(({ strainId }) => strainId === strain).reduce((sum, { containers }) => sum + containers, 0);
  return { plan, chance, whyBelow, started, impossible: plan.impossible.map(({ code }) => code) };
}

describe('what cannot be had', () => {
  it('no mother of a strain at all: its run is below for want of mothers, the other strain is planned', async () => {
    const { chance, whyBelow, started } = await planned({
      ...{ strains: [oyster, second], stock: [secondMother], runs: [runOf('first', 28), secondRun] },
    });
    expect([chance('first'), started('oyster')]).toEqual([0, 0]);
    expect(whyBelow('first')?.kind).toBe('mothers');
    expect(whyBelow('first')!.message).toMatch(/oyster/);
    expect(started('shiitake')).toBeGreaterThan(0);
    expect(chance('second')).toBeGreaterThan(0.9);
  });

  it('no bench day: nothing is started, and what stands is given to the runs it reaches', async () => {
    const { chance, plan, impossible } = await planned({
      rhythm: { ...farm.rhythm, benchWeekdays: [] },
      stock: ['A', 'B', 'C', 'D'].map((code) => stockJar({ code })),
      runs: [runOf('soon', 7), runOf('late', 41, { priority: 2, minGrams: 4000, targetGrams: 4000, maxGrams: 4000 })],
    });
    expect(plan.starts).toEqual([]);
    expect(impossible).toContain('no-bench-days');
    expect(chance('soon')).toBeGreaterThan(0.9);
    expect(chance('late')).toBe(0);
  });

  it('runs in the past: named, and those ahead planned', async () => {
    const { chance, impossible, plan } = await planned({ runs: [runOf('gone', -3), runOf('ahead', 28)] });
    expect(impossible).toContain('run-in-past');
    expect(plan.impossible.find(({ subject }) => subject === 'gone')!.message).toContain('2026-11-22');
    expect(chance('gone')).toBe(0);
    expect(chance('ahead')).toBeGreaterThan(0.9);
  });

  it('no shelf at all: nothing can be started, and the limit is named with the day', async () => {
    const room = { id: 'warm', kind: 'incubation', places: 0, temperatureC: 24 } as const;
    const { whyBelow, started } = await planned({ rooms: [room], runs: [runOf('ahead', 28)] });
    expect(started('oyster')).toBe(0);
    expect(whyBelow('ahead')?.kind).toBe('incubation-places');
    expect(whyBelow('ahead')!.message).toMatch(/places|shel/i);
  });

  it('a strain that cannot be chilled with a run every fourth week: each run has starts of its own, none put in the cold', async () => {
    const tender = { ...oyster, mayBeChilled: false, warmLifeDays: 12, culture: culture(), motherReserve: 1 };
    const runs = [21, 49, 77].map((days) => runOf(`week-${days / 7}`, days));
    const { plan, chance, started } = await planned({ horizonDays: 84, strains: [tender], runs });
    expect(plan.moves.filter(({ kind }) => kind === 'chill')).toEqual([]);
    const fed = new Map(runs.map(({ id }) => [id, plan.starts.filter(({ feeds }) => feeds.some((f) => f.run === id))]));
    for (const starts of fed.values()) expect(starts.length).toBeGreaterThan(0);
    expect(started('oyster')).toBeGreaterThanOrEqual(9);
    for (const { id } of runs) expect(chance(id)).toBeGreaterThan(0.85);
  });

  it('limits that contradict each other: minimum above target above maximum, named, and planned as far as they agree', async () => {
    const torn = runOf('torn', 28, { minGrams: 3000, targetGrams: 1500, maxGrams: 1000 });
    const { impossible, plan, chance } = await planned({ runs: [torn, runOf('whole', 35)] });
    expect(impossible).toContain('run-amounts-contradict');
    const { minGrams, targetGrams, coveredGrams } = plan.runs.find(({ run }) => run === 'torn')!;
    expect(minGrams).toBeLessThanOrEqual(targetGrams);
    expect(coveredGrams).toBeLessThanOrEqual(1000 + 1e-6);
    expect(chance('whole')).toBeGreaterThan(0.85);
  });
});

function culture(): StrainProfile['culture'] {
  return { leadDays: 7, containersPerUnit: 10, costPerUnit: 10 };
}
