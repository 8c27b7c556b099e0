import { addDays } from '@jarfold/domain';
import { checkPlan, planSpawn, type SpawnPlan } from '@jarfold/domain/planning';
import { describe, expect, it } from '@jest/globals';
import { DAY_0, textbookFarm, textbookUnit } from './planning-factory.js';

const PROVE = { exact: 'always', guardMs: 60_000 } as const;

/** Without set-up costs and with a cost of holding, the best plan is the lot-for-lot record. */
describe('a requirements planning record as a farm', () => {
  // Krajewski, Ritzman and Malhotra, Operations Management, chair seat subassembly: gross requirements 150, 0, 0, 120, 0,
  // 150, 120, 0; 37 on hand; 230 scheduled to arrive in period 1; lead time 2; lot for lot: receipts 3, 150, 120.
  const onHand = Array.from({ length: 37 }, (_, place) => textbookUnit({ code: `hand-${place}` }));
  const scheduled = Array.from({ length: 230 }, (_, place) =>
    textbookUnit({ code: `due-${place}`, state: 'incubating', ripeOn: addDays(DAY_0, 1), survival: 1 }),
  );
  const chairSeats = textbookFarm({
    demand: [150, 0, 0, 120, 0, 150, 120, 0],
    setUpCosts: [],
    holdingCost: 0.01,
    leadPeriods: 2,
    unitCost: 1,
    stock: [...onHand, ...scheduled],
  });

  it('releases 3, 150 and 120 two periods before they are needed', async () => {
    const plan = await planSpawn(chairSeats, PROVE);
    expect(released(plan)).toEqual([
      [2, 3],
      [4, 150],
      [5, 120],
    ]);
    expect(plan.exact).toBe(true);
    expect(checkPlan(chairSeats, plan).faults).toEqual([]);
  });

  it('projects 117 on hand through period 3 and nothing after period 4, 43.875 on average', async () => {
    const plan = await planSpawn(chairSeats, PROVE);
    const left = [1, 2, 3, 4, 5, 6, 7, 8].map((period) => {
      const day = addDays(DAY_0, period);
      const received =
        267 + plan.starts.filter((start) => start.ripeOn <= day).reduce((sum, start) => sum + start.containers, 0);
      return (
        received -
        plan.uses.filter((use) => use.to.kind === 'run' && use.day <= day).reduce((sum, use) => sum + use.grams, 0)
      );
    });
    expect(left.map((units) => Math.round(units))).toEqual([117, 117, 117, 0, 0, 0, 0, 0]);
    expect(left.reduce((sum, units) => sum + units, 0) / 8).toBeCloseTo(43.875, 2);
  });

  // Requirements with a yield of 0.9: 100 in period 4 and 60 in period 6, 20 on hand, 10 due in period 2, lead time 2.
  // Net 70 and 60, so ceil(70 / 0.9) = 78 and ceil(60 / 0.9) = 67 are released (computed, the usual scrap allowance).
  it('starts 78 and 67 to get 70 and 60 at a yield of nine in ten', async () => {
    const stock = [
      ...Array.from({ length: 20 }, (_, place) => textbookUnit({ code: `hand-${place}` })),
      ...Array.from({ length: 10 }, (_, place) =>
        textbookUnit({ code: `due-${place}`, state: 'incubating', ripeOn: addDays(DAY_0, 2), survival: 1 }),
      ),
    ];
    const farm = textbookFarm({
      demand: [0, 0, 0, 100, 0, 60],
      setUpCosts: [],
      holdingCost: 0.01,
      leadPeriods: 2,
      unitCost: 1,
      stock,
      lossRate: 0.1,
    });
    const plan = await planSpawn(farm, PROVE);
    expect(released(plan)).toEqual([
      [2, 78],
      [4, 67],
    ]);
  });
});

/** Fifteen single demands and three lots of five that perish: first expired first out serves the most. */
describe('perishable lots as a farm', () => {
  it('serves 13 of 15 demands and loses 2, as the maximum matching does', async () => {
    // Lots usable until day 10, 20 and 6, five units each; one unit wanted on each of the days 3 to 17. The maximum
    // matching serves 13 (computed with an assignment solver); first received first out would serve 8.
    const lot = (name: string, lastDay: number) =>
      Array.from({ length: 5 }, (_, place) =>
        textbookUnit({ code: `${name}-${place}`, ripeOn: addDays(DAY_0, lastDay - 400) }),
      );
    const base = textbookFarm({
      demand: Array.from({ length: 17 }, (_, place) => (place + 1 >= 3 ? 1 : 0)),
      setUpCosts: [],
      holdingCost: 0,
      leadPeriods: 1,
      stock: [...lot('A', 10), ...lot('B', 20), ...lot('C', 6)],
    });
    const farm = { ...base, rhythm: { ...base.rhythm, benchWeekdays: [] } };
    const plan = await planSpawn(farm, PROVE);
    expect(plan.runs.filter((run) => run.coveredGrams === 1)).toHaveLength(13);
    expect(plan.stranded).toHaveLength(2);
    expect(checkPlan(farm, plan).faults).toEqual([]);
  });
});

function released(plan: SpawnPlan): [number, number][] {
  return plan.starts.map((start) => [dayOf(start.benchDay), start.containers]);
}

function dayOf(day: string): number {
  return Math.round((Date.parse(day) - Date.parse(DAY_0)) / 86_400_000);
}
