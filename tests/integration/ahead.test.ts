import { addDays, calendarDay } from '@jarfold/domain';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';
import { type PlantedFarm, plantFarm } from '../support/planted-farm.js';

const START = calendarDay('2026-08-03');
/** A Wednesday. */
const TODAY = calendarDay('2026-11-25');
const NOW = new Date('2026-11-25T12:00:00Z');

let api: TestApi;
let farm: World;
let planted: PlantedFarm;

/** A run of 100 kg (35 kg dry) on each Monday, picked 15 kg after 30 days and 6 kg after 42: an efficiency of 60 %. */
beforeAll(async () => {
  api = await startApi({ clock: () => NOW });
  farm = await api.farm('Farm');
  const lots = [{ day: 0, mother: 0, bad: 0, jars: 40 }];
  planted = await plantFarm(farm, { now: NOW, start: START, mothers: 1, lots });
  for (let week = 0; week < 13; week++) {
    const day = addDays(START, 21 + 7 * week);
    const run = { name: `Run ${week}`, day, strainIds: [planted.strainId], substrateWetKg: 100, spawnRate: 0.05 };
    const runId = (await farm.call('POST', '/api/runs', run)).body.run.id as string;
    const jarId = planted.jarIds[0]![week]!;
    await planted.log(planted.at(21 + 7 * week), 'drawn_for_run', {
      ...{ runId, draws: [{ jarId, amount: { by: 'grams', massG: 500 } }] },
    });
    for (const [after, flush, massG] of [
      [30, 1, 15_000],
      [42, 2, 6000],
    ] as const)
      if (addDays(day, after) <= TODAY)
        await planted.log(planted.at(21 + 7 * week + after), 'harvested', { runId, flush, massG });
    await api.database.sql("UPDATE bulk_run SET state = 'done', done_on = day WHERE id = $1", [runId]);
  }
  const next = {
    name: 'Next',
    day: addDays(TODAY, 5),
    strainIds: [planted.strainId],
    substrateWetKg: 200,
    spawnRate: 0.05,
  };
  expect((await farm.call('POST', '/api/runs', next)).status).toBe(201);
}, 300_000);
afterAll(() => api.close());

describe('what lies ahead', () => {
  it('is the harvest of runs made and planned, by week, with an interval around each', async () => {
    const { body, status } = await farm.call('GET', '/api/ahead?weeks=20');
    expect(status).toBe(200);
    expect(body.weeks).toHaveLength(20);
    expect(body.weeks[0].monday).toBe('2026-11-23');
    const [bearing] = body.bearings;
    expect(bearing.runs).toBeGreaterThan(3);
    expect(bearing.efficiency.value).toBeGreaterThan(0.55);
    expect(bearing.efficiency.value).toBeLessThan(0.75);
    for (const { harvest } of body.weeks) {
      expect(harvest.low).toBeLessThanOrEqual(harvest.expectedG);
      expect(harvest.high).toBeGreaterThanOrEqual(harvest.expectedG);
    }
    // Five runs have both flushes ahead (the youngest may have a third); one of twice their size is planned.
    const total = body.weeks.reduce(
      (sum: number, { harvest }: { harvest: { expectedG: number } }) => sum + harvest.expectedG,
      0,
    );
    const wholeRun = 35_000 * bearing.efficiency.value;
    expect(total).toBeGreaterThan(5 * wholeRun);
    expect(total).toBeLessThan(9 * wholeRun);
    const named = body.weeks.flatMap(({ harvest }: { harvest: { runs: string[] } }) => harvest.runs);
    expect(named).toContain('Next');
    expect(named).not.toContain('Run 0');
  });

  it('is spawn by week: planned, and forecast with the way that erred least of those tried', async () => {
    const { body } = await farm.call('GET', '/api/ahead?weeks=4');
    expect(body.spawned).toHaveLength(13);
    expect(body.demand.kind).toBe('forecast');
    const errors = body.demand.tried.map(
      ({ meanAbsoluteErrorG }: { meanAbsoluteErrorG: number }) => meanAbsoluteErrorG,
    );
    expect(errors).toEqual([...errors].sort((one: number, other: number) => one - other));
    expect(body.demand.tried[0].method).toBe(body.demand.method);
    expect(body.weeks[1].plannedSpawnG).toBe(10_000);
    expect(body.weeks[2].expectedSpawnG.value).toBeCloseTo(5000, -1);
    const fresh = await (await api.farm('Fresh')).call('GET', '/api/ahead');
    expect(fresh.body.demand).toMatchObject({ kind: 'not enough data' });
  });

  it('turns promised kilograms into runs on the farm’s own weekdays, more of them to be careful', async () => {
    const query = `strainId=${planted.strainId}&kilograms=30&day=2027-02-10&weeks=3`;
    const careful = (await farm.call('GET', `/api/ahead/promise?${query}`)).body;
    const mean = (await farm.call('GET', `/api/ahead/promise?${query}&care=mean`)).body;
    expect(careful.tooLate).toEqual([]);
    expect(careful.runs.length).toBeGreaterThanOrEqual(1);
    for (const { day } of careful.runs) expect(careful.weekdays).toContain(new Date(`${day}T00:00:00Z`).getUTCDay());
    const dry = (answer: typeof careful) =>
      answer.runs.reduce((sum: number, run: { substrateDryG: number }) => sum + run.substrateDryG, 0);
    expect(dry(careful)).toBeGreaterThan(dry(mean));
    expect(mean.runs[0].spawnG).toBeCloseTo(mean.runs[0].substrateWetG * 0.05, 6);
    // What the first run bears in its first flush is what is promised.
    const { efficiency, bearing } = mean;
    expect(mean.runs[0].substrateDryG * efficiency * bearing.shares[0]).toBeCloseTo(30_000, 3);
  });

  it('says of a promise for tomorrow that it is too late, and by when the run had to be made', async () => {
    const query = `strainId=${planted.strainId}&kilograms=30&day=${addDays(TODAY, 1)}`;
    const { runs, tooLate } = (await farm.call('GET', `/api/ahead/promise?${query}`)).body;
    expect(runs).toEqual([]);
    expect(tooLate).toMatchObject([{ day: '2026-11-26', missingG: 30_000 }]);
    expect(tooLate[0].spawnBy < TODAY).toBe(true);
    const stranger = await api.farm('Stranger');
    expect((await stranger.call('GET', `/api/ahead/promise?${query}`)).status).toBe(404);
  });

  it('says of a day out of all reach that it is, and how far it may be', async () => {
    for (const day of ['1900-01-01', '2999-12-31']) {
      const query = `strainId=${planted.strainId}&kilograms=30&day=${day}&weeks=26`;
      const { status, body } = await farm.call('GET', `/api/ahead/promise?${query}`);
      expect([status, body.errors]).toEqual([
        400,
        [{ in: 'query', pointer: '/day', detail: expect.stringContaining('from 2023-11-23 to 2029-11-27') }],
      ]);
    }
  });
});
