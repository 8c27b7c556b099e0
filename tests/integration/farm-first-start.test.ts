import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { startApi, type TestApi, type World } from '../support/api-app.js';

const answers = {
  strain: { speciesKey: 'pleurotus-ostreatus' },
  ripeJars: 6,
  run: { day: '2026-12-30', substrateWetKg: 40 },
};

describe('the first start', () => {
  let api: TestApi;
  let farm: World;

  beforeAll(async () => {
    api = await startApi({ clock: () => new Date('2026-11-25T09:00:00Z') });
    // Nobody waits for a first plan longer than some seconds, and on a busy machine loading the planner takes as long: it
    // is loaded for another farm before.
    const before = await api.farm('Before');
    await before.call('POST', '/api/farm/first-start', answers);
    expect((await before.call('POST', '/api/plan')).status).toBe(200);
    farm = await api.farm('Kitchen');
  });
  afterAll(() => api.close());

  it('a new farm says it has not been started', async () => {
    const { body } = await farm.call('GET', '/api/farm');
    expect(body).toMatchObject({ started: false, today: '2026-11-25', strains: [], sizes: [], rooms: [] });
  });

  it('three answers make room, shelf, size, strain, jars on their places, a run and a first plan', async () => {
    const started = await farm.call('POST', '/api/farm/first-start', answers);
    expect(started.status).toBe(201);
    expect(started.body.jarCodes).toHaveLength(6);
    expect(started.body.planId).not.toBeNull();

    const seen = (await farm.call('GET', '/api/farm')).body;
    expect(seen.started).toBe(true);
    expect(seen.rooms).toMatchObject([{ kind: 'incubation', places: 40 }]);
    expect(seen.strains).toMatchObject([{ code: 'OY1', daysToRipe: { origin: 'species' } }]);

    const stock = (await farm.call('GET', '/api/stock')).body;
    expect(stock.rows).toMatchObject([{ generation: 1, state: 'ripe', count: 6 }]);
    const rooms = (await farm.call('GET', '/api/stock/rooms')).body;
    expect(rooms.rooms[0].shelves[0].jars.map((jar: { row: number; place: number }) => [jar.row, jar.place])).toEqual([
      [1, 1],
      [1, 2],
      [1, 3],
      [1, 4],
      [1, 5],
      [1, 6],
    ]);
    const runs = (await farm.call('GET', '/api/runs')).body;
    expect(runs.items).toMatchObject([
      { targetGrams: 2000, minGrams: 1600, coverage: { planId: started.body.planId } },
    ]);
  });

  it('the jars came in through the bench log', async () => {
    const { body: jars } = await farm.call('GET', '/api/stock/jars');
    const { body } = await farm.call('GET', `/api/stock/jars/${jars.items[0].id}`);
    expect(body.entries).toMatchObject([{ kind: 'received', corrected: false, staffId: farm.staffId }]);
  });

  it('the week of the first start of jars says what to prepare, from which jars, for which run', async () => {
    const plan = (await farm.call('GET', '/api/plan')).body.newest.plan;
    expect(plan.starts.length).toBeGreaterThan(0);
    const benchDay = plan.starts[0].benchDay;
    const week = (await farm.call('GET', `/api/week?week=${isoWeekOf(benchDay)}`)).body;
    expect(week.freshness).toBe('current');
    const start = week.benchDays[0].starts[0];
    expect(start.strain.code).toBe('OY1');
    expect(start.mothers.length).toBeGreaterThan(0);
    expect(start.lastSafeDay >= benchDay).toBe(true);
  });

  it('a farm is started once', async () => {
    const again = await farm.call('POST', '/api/farm/first-start', answers);
    expect(again.status).toBe(409);
    expect(again.body.code).toBe('conflict');
    expect((await farm.call('GET', '/api/stock')).body.totals.count).toBe(6);
  });
});

function isoWeekOf(day: string): string {
  const date = new Date(`${day}T00:00:00Z`);
  date.setUTCDate(date.getUTCDate() + 4 - (date.getUTCDay() || 7));
  const week = Math.ceil(((date.getTime() - Date.UTC(date.getUTCFullYear(), 0, 1)) / 86_400_000 + 1) / 7);
  return `${date.getUTCFullYear()}-W${String(week).padStart(2, '0')}`;
}
