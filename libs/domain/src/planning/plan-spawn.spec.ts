import { describe, expect, it } from '@jest/globals';
import { kitchen, stockJar } from '../../../../tests/reference/planning-kitchen.js';
import { calendarDay } from '../calendar/calendar-day.js';
import { checkPlan } from './check-plan.js';
import { planSpawn } from './plan-spawn.js';
import type { FarmSituation } from './situation.js';

const PROVE = { exact: 'always', guardMs: 60_000 } as const;
const run = kitchen().runs[0]!;
const strain = kitchen().strains[0]!;
const jar = kitchen().sizes[0]!;

async function checked(farm: FarmSituation, options: Parameters<typeof planSpawn>[1] = {}) {
  const plan = await planSpawn(farm, options);
  expect(checkPlan(farm, plan).faults).toEqual([]);
  return plan;
}

describe('planSpawn on a kitchen', () => {
  it('starts the jars a run needs on the last bench day that lets them ripen', async () => {
    const plan = await checked(kitchen(), PROVE);
    expect(plan.starts).toHaveLength(1);
    expect(plan.starts[0]).toMatchObject({
      benchDay: '2026-12-05',
      generation: 2,
      containers: 3,
      ripeOn: '2026-12-19',
    });
    expect(plan.starts[0]?.mothers).toEqual([{ code: 'M-1', grams: 60 }]);
    expect(plan.starts[0]?.feeds).toEqual([{ run: 'run-1', grams: 1500 }]);
    expect(plan.preparations).toEqual([
      { day: '2026-12-04', benchDay: '2026-12-05', cycles: 1, containers: [{ sizeId: 'jar', count: 3 }] },
    ]);
    expect(plan.runs[0]).toMatchObject({ coveredGrams: 1500, limit: null });
    expect(plan.exact).toBe(true);
  });

  it('costs what a hand counts: three jars, one cycle, grams by generation, four days of age, the rest of the mother', async () => {
    // 3 × 1.50 + 3.00 + 1500 g × 2nd generation × 0.0001 + (1500 g × 4 d + 500 g × 10 d) × 0.00002 + 440 g × 0.002
    const plan = await checked(kitchen(), PROVE);
    expect(plan.cost).toBeCloseTo(4.5 + 3 + 0.3 + 0.22 + 0.88, 6);
    expect(plan.bound).toBeCloseTo(plan.cost, 5);
  });

  it('inflates starts by the expected loss', async () => {
    const plan = await checked(kitchen({ strains: [{ ...strain, lossRate: 0.2 }] }), PROVE);
    expect(plan.starts.reduce((sum, start) => sum + start.containers, 0)).toBe(4);
    expect(plan.starts[0]?.feeds).toEqual([{ run: 'run-1', grams: 1600 }]);
  });

  it('uses what is on hand before it starts anything, first expired first', async () => {
    const stock = ['2026-11-20', '2026-11-18', '2026-11-22'].map((ripeOn, place) =>
      stockJar({ code: `J-${place}`, ripeOn: calendarDay(ripeOn), madeOn: calendarDay('2026-11-01') }),
    );
    const soon = { ...run, day: calendarDay('2026-12-01'), minGrams: 400, targetGrams: 500, maxGrams: 500 };
    const plan = await checked(kitchen({ stock, runs: [soon], rooms: [] }), PROVE);
    expect(plan.starts).toEqual([]);
    expect(plan.uses.map((use) => use.from)).toEqual(['J-1']);
  });

  it('chills what must wait longer than its warm life, and warms it a day before use', async () => {
    const late = { ...run, day: calendarDay('2027-01-04'), minGrams: 400, targetGrams: 500, maxGrams: 500 };
    const plan = await checked(kitchen({ runs: [late], rhythm: { ...kitchen().rhythm, benchWeekdays: [] } }));
    expect(plan.moves).toEqual([
      { day: '2026-11-25', kind: 'chill', from: 'M-1', containers: 1 },
      { day: '2027-01-03', kind: 'warm', from: 'M-1', containers: 1 },
    ]);
    expect(plan.uses[0]).toMatchObject({ from: 'M-1', cold: true, grams: 500 });
  });

  it('never chills a strain that the cold harms', async () => {
    const late = { ...run, day: calendarDay('2027-01-04') };
    const plan = await checked(kitchen({ runs: [late], strains: [{ ...strain, mayBeChilled: false }] }));
    expect(plan.moves).toEqual([]);
    expect(plan.runs[0]?.coveredGrams).toBe(1500);
  });

  it('uses the rest of an opened jar within its opened life and lists what it cannot use', async () => {
    const opened = stockJar({ code: 'O-1', state: 'opened', openedOn: calendarDay('2026-11-24'), gramsLeft: 300 });
    const soon = { ...run, day: calendarDay('2026-11-26'), minGrams: 100, targetGrams: 200, maxGrams: 200 };
    const plan = await checked(kitchen({ stock: [opened], runs: [soon] }));
    expect(plan.uses).toEqual([expect.objectContaining({ day: '2026-11-26', from: 'O-1', grams: 200, opened: 0 })]);
    expect(plan.stranded).toEqual([{ code: 'O-1', grams: 100, expires: '2026-11-26' }]);
  });

  it('keeps a jar that is set aside as a mother away from runs', async () => {
    const soon = { ...run, day: calendarDay('2026-11-28'), minGrams: 400, targetGrams: 500 };
    const stock = [stockJar({ code: 'M-1', keptAsMother: true })];
    const plan = await checked(kitchen({ stock, runs: [soon] }), PROVE);
    expect(plan.runs[0]?.coveredGrams).toBe(0);
  });

  it('starts no more than the clean jars, and counts on jars that come back from the wash', async () => {
    const second = { ...run, id: 'run-2', day: calendarDay('2027-01-02') };
    const few = { ...jar, cleanEmpty: 3 };
    const plan = await checked(
      kitchen({
        stock: [stockJar({ code: 'M-1' }), stockJar({ code: 'M-2' })],
        sizes: [few],
        runs: [{ ...run, day: calendarDay('2026-12-12') }, second],
        horizonDays: 45,
      }),
      PROVE,
    );
    expect(plan.starts.map((start) => start.containers)).toEqual([3, 3]);
    expect(plan.runs.map((each) => each.coveredGrams)).toEqual([1500, 1500]);
  });

  it('orders a culture in time when there is no mother', async () => {
    const culture = { leadDays: 7, containersPerUnit: 2, costPerUnit: 8 };
    const plan = await checked(kitchen({ stock: [], strains: [{ ...strain, culture }] }), PROVE);
    expect(plan.cultures).toEqual([
      { id: 'culture:2026-12-05:oyster', strainId: 'oyster', orderBy: '2026-11-28', readyOn: '2026-12-05', units: 2 },
    ]);
    expect(plan.starts).toEqual([expect.objectContaining({ generation: 1, containers: 3 })]);
  });

  it('lets a run wait within its slack when spawn is ripe only then', async () => {
    const early = { ...run, day: calendarDay('2026-12-11'), slackDays: 2 };
    const plan = await checked(kitchen({ runs: [early] }), PROVE);
    expect(plan.runs[0]).toMatchObject({ coveredGrams: 1500 });
    expect(plan.runs[0]!.day >= '2026-12-12').toBe(true);
  });

  it('takes the second strain of a run when the first has no mother', async () => {
    const other = { ...strain, id: 'other' };
    const stock = [stockJar({ code: 'M-2', strainId: 'other' })];
    const plan = await checked(
      kitchen({ strains: [strain, other], stock, runs: [{ ...run, strainIds: ['oyster', 'other'] }] }),
      PROVE,
    );
    expect(plan.runs[0]).toMatchObject({ strainId: 'other', coveredGrams: 1500 });
  });

  it('keeps the mother reserve to the end of the horizon', async () => {
    const plan = await checked(kitchen({ strains: [{ ...strain, motherReserve: 1 }], runs: [] }), PROVE);
    expect(plan.reserveGaps).toEqual([]);
    expect(plan.moves).toEqual([expect.objectContaining({ kind: 'chill', from: 'M-1' })]);
  });

  it('gives the same plan for the same farm', async () => {
    const farm = kitchen({ strains: [{ ...strain, motherReserve: 1 }] });
    expect(await planSpawn(farm)).toEqual(await planSpawn(farm));
  });
});

describe('planSpawn on a farm that cannot have it all', () => {
  it('plans the rest and says so when a run lies in the past', async () => {
    const past = { ...run, id: 'old', day: calendarDay('2026-11-20') };
    const plan = await checked(kitchen({ runs: [past, run] }));
    expect(plan.impossible).toEqual([expect.objectContaining({ code: 'run-in-past', subject: 'old' })]);
    expect(plan.runs.map((each) => each.coveredGrams)).toEqual([0, 1500]);
    expect(plan.runs[0]?.limit).toMatchObject({ kind: 'time' });
  });

  it('names a run beyond the horizon', async () => {
    const far = { ...run, day: calendarDay('2027-06-01') };
    const plan = await checked(kitchen({ runs: [far] }));
    expect(plan.impossible).toEqual([expect.objectContaining({ code: 'run-beyond-horizon' })]);
    expect(plan.costParts.short).toBe(0);
    expect(plan.runs[0]?.limit).toMatchObject({ kind: 'time' });
  });

  it('names unknown strains and sizes and leaves them out', async () => {
    const stock = [
      stockJar({ code: 'M-1' }),
      stockJar({ code: 'X', strainId: 'nobody' }),
      stockJar({ code: 'Y', sizeId: 'none' }),
    ];
    const plan = await checked(kitchen({ stock, runs: [run, { ...run, id: 'r2', strainIds: ['nobody'] }] }));
    expect(plan.impossible.map((each) => [each.code, each.subject])).toEqual([
      ['unknown-strain', 'X'],
      ['unknown-size', 'Y'],
      ['unknown-strain', 'r2'],
      ['run-without-strain', 'r2'],
    ]);
    expect(plan.runs.find((each) => each.run === 'run-1')?.coveredGrams).toBe(1500);
  });

  it('says that nothing can be started without a bench day, a cycle or bench room', async () => {
    const { rhythm } = kitchen();
    for (const [change, code] of [
      [{ benchWeekdays: [] }, 'no-bench-days'],
      [{ cyclesPerPreparationDay: 0 }, 'no-steriliser-cycles'],
      [{ benchContainersPerDay: 0 }, 'no-bench-capacity'],
      [{ vesselPlaces: 0 }, 'size-does-not-fit'],
    ] as const) {
      const plan = await checked(kitchen({ rhythm: { ...rhythm, ...change } }));
      expect(plan.impossible.map((each) => each.code)).toContain(code);
      expect(plan.starts).toEqual([]);
      expect(plan.runs[0]?.limit).not.toBeNull();
    }
  });

  it('plans a farm with nothing at all', async () => {
    const plan = await checked(kitchen({ stock: [], runs: [], strains: [], sizes: [], rooms: [] }));
    expect(plan).toMatchObject({ cost: 0, bound: 0, gap: 0, exact: true, starts: [], uses: [] });
  });

  it('plans within the maximum when minimum, target and maximum contradict each other', async () => {
    const plan = await checked(
      kitchen({ runs: [{ ...run, minGrams: 2000, targetGrams: 1500, maxGrams: 1000 }] }),
      PROVE,
    );
    expect(plan.impossible).toEqual([expect.objectContaining({ code: 'run-amounts-contradict' })]);
    expect(plan.runs[0]?.coveredGrams).toBe(1000);
  });

  it('lists what has aged out already as stranded', async () => {
    const old = stockJar({ code: 'OLD', ripeOn: calendarDay('2026-09-01'), madeOn: calendarDay('2026-08-15') });
    const plan = await checked(kitchen({ stock: [old, stockJar({ code: 'M-1' })] }));
    expect(plan.stranded).toContainEqual({ code: 'OLD', grams: 500, expires: '2026-09-22' });
  });

  it('refuses numbers and days without a meaning, all in one go', async () => {
    const broken = kitchen({
      horizonDays: -3,
      stock: [stockJar({ code: 'M-1', gramsLeft: Number.NaN }), stockJar({ code: 'M-1' })],
      strains: [{ ...strain, lossRate: 1 }],
      runs: [{ ...run, day: '2026-02-30' as never }],
    });
    await expect(planSpawn(broken)).rejects.toMatchObject({ code: 'situation-not-valid' });
    await planSpawn(broken).catch((error) => expect(error.details.faults).toHaveLength(5));
  });
});
