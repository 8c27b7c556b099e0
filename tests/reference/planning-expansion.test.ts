import { calendarDay } from '@jarfold/domain';
import { checkPlan, planSpawn } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from './planning-kitchen.js';

/**
 * Stamets, Growing Gourmet and Medicinal Mushrooms, p. 138: spawn is expanded about 1:10 at each step, so 120 containers
 * of the third generation need 12 of the second and 2 of the first (each level rounded up to whole containers).
 */
describe('the expansion chain of the handbook', () => {
  it('makes 2 first, 12 second and 120 third generation containers from one culture', async () => {
    const base = kitchen();
    const farm = kitchen({
      horizonDays: 28,
      rhythm: { ...base.rhythm, benchContainersPerDay: 200, vesselPlaces: 200, openedLifeDays: 0 },
      strains: [
        {
          ...base.strains[0]!,
          daysToRipe: 7,
          inoculumGramsPerContainer: 50,
          mayBeChilled: false,
          warmLifeDays: 7,
        },
      ],
      // Enough culture for two containers of the first generation.
      stock: [stockJar({ code: 'culture', generation: 0, gramsLeft: 100 })],
      rooms: [],
      runs: [
        {
          id: 'bulk',
          day: calendarDay('2026-12-19'),
          strainIds: ['oyster'],
          minGrams: 60_000,
          targetGrams: 60_000,
          maxGrams: 60_000,
          priority: 1,
          slackDays: 0,
        },
      ],
    });
    const plan = await planSpawn(farm, { exact: 'always', guardMs: 60_000 });
    const made = (generation: number) =>
      plan.starts.filter((start) => start.generation === generation).reduce((sum, start) => sum + start.containers, 0);
    expect([made(1), made(2), made(3)]).toEqual([2, 12, 120]);
    expect(plan.runs[0]?.coveredGrams).toBe(60_000);
    expect(plan.exact).toBe(true);
    expect(checkPlan(farm, plan).faults).toEqual([]);
  });
});
