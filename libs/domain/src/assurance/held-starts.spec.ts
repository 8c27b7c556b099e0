import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { addDays, calendarDay } from '../calendar/calendar-day.js';
import type { FarmSituation, StandingStart } from '../planning/situation.js';
import { usualChance } from './farm-chance.js';
import { planWithAssurance } from './plan-with-assurance.js';

const farm = kitchen();
/** Saturdays, on which the kitchen inoculates. */
const [first, second] = [calendarDay('2026-11-28'), calendarDay('2026-12-05')];
const start = (containers: number, hold: StandingStart['hold'], benchDay = second): StandingStart => ({
  ...{ benchDay, strainId: 'oyster', generation: 2, sizeId: 'jar', containers, hold },
});

async function planned(changes: Partial<FarmSituation>) {
  const situation = kitchen(changes);
  const plan = await planWithAssurance(situation, usualChance(situation), { exact: 'never', draws: 400 });
  const held = plan.impossible.filter(({ code }) => code === 'held-start-not-possible');
  return { plan, held, days: plan.starts.map(({ benchDay }) => benchDay) };
}

describe('wishes for starts that contradict the limits', () => {
  it('lets a lead’s pin stand though the bench usually takes fewer', async () => {
    const { held, plan } = await planned({ standing: [start(12, 'pinned')] });
    expect(held).toEqual([]);
    expect(plan.starts.find(({ benchDay }) => benchDay === second)!.containers).toBe(12);
  });

  it('names a pin for a day on which the farm is closed, and plans the rest', async () => {
    const rhythm = { ...farm.rhythm, closedDays: [second] };
    const { held, days, plan } = await planned({ rhythm, standing: [start(5, 'pinned')] });
    expect(held.map(({ message }) => message)).toEqual([
      'Of 5 jar of oyster, generation 2, that are to be started on 2026-12-05 only 0 can be: the farm is closed on that day. Pin it to another bench day.',
    ]);
    expect(days).toContain(first);
    expect(days).not.toContain(second);
    expect(plan.runs[0]!.probability).toBeGreaterThan(0.9);
  });

  it('names a pin that no mother is left for', async () => {
    const { held } = await planned({ stock: [], standing: [start(5, 'pinned')] });
    expect(held[0]!.message).toContain('only 0 can be: there is no mother or culture for the rest.');
  });

  it('says nothing of a pin that is honoured', async () => {
    const { held, plan } = await planned({ standing: [start(5, 'pinned')] });
    expect(held).toEqual([]);
    expect(plan.starts.find(({ benchDay }) => benchDay === second)!.containers).toBe(5);
  });
});

describe('a standing plan that can no longer be made', () => {
  it('gives way to another where its only start falls on a day that is now closed', async () => {
    const rhythm = { ...farm.rhythm, closedDays: [second] };
    const { plan, days } = await planned({ rhythm, standing: [start(5, 'accepted')] });
    expect(days).toContain(first);
    expect(plan.runs[0]!.probability).toBeGreaterThan(0.9);
  });

  it('gives way where a strain without any start has a new run', async () => {
    const oyster = farm.strains[0]!;
    const other = { ...oyster, id: 'shiitake', culture: { leadDays: 2, containersPerUnit: 10, costPerUnit: 10 } };
    const [run] = farm.runs;
    const runs = [run!, { ...run!, id: 'new', strainIds: ['shiitake'], day: addDays(run!.day, 2) }];
    const { plan } = await planned({ strains: [oyster, other], runs, standing: [start(5, 'accepted')] });
    expect(plan.starts.some(({ strainId }) => strainId === 'shiitake')).toBe(true);
  });
});

describe('no capacity at all', () => {
  it.each([
    ['no-bench-capacity', 'bench', { rhythm: { ...farm.rhythm, benchContainersPerDay: 0 } }],
    ['no-steriliser-cycles', 'steriliser', { rhythm: { ...farm.rhythm, cyclesPerPreparationDay: 0 } }],
    ['size-does-not-fit', 'steriliser', { rhythm: { ...farm.rhythm, vesselPlaces: 0 } }],
    [null, 'clean-containers', { sizes: [{ ...farm.sizes[0]!, cleanEmpty: 0 }] }],
  ])('%s: nothing can be started, and the run names the limit: %s', async (code, kind, changes) => {
    const { plan } = await planned(changes);
    expect(plan.starts).toEqual([]);
    expect(plan.runs[0]!.probability).toBe(0);
    expect(plan.assurance.below[0]!.limit.kind).toBe(kind);
    if (code !== null) expect(plan.impossible.map((each) => each.code)).toContain(code);
  });
});
