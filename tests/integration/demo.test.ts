import { calendarDay } from '@jarfold/domain';
import { type DemoKind, loadDemo } from '@jarfold/server';
import { type Clock } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

const NOON = new Date('2026-11-25T11:00:00Z');
const clock: Clock = { now: () => NOON };
const order = (kind: DemoKind) => ({ kind, password: 'a demo under test', today: calendarDay('2026-11-25') });

describe.each<[DemoKind, { strains: number; jarsAtLeast: number; runsAhead: number }]>([
  ['kitchen', { strains: 1, jarsAtLeast: 8, runsAhead: 8 }],
  ['farm', { strains: 4, jarsAtLeast: 250, runsAhead: 58 }],
])('the invented %s', (kind, expected) => {
  let database: TestDatabase;
  beforeAll(async () => {
    database = await createTestDatabase();
  });
  afterAll(() => database.close());

  const count = async (sql: string): Promise<number> =>
    Number((await database.sql<{ n: string }>(`SELECT count(*) AS n FROM ${sql}`))[0]!.n);

  it('is told to the bench log without breaking one of its rules, and gets a plan', async () => {
    expect(await loadDemo(database, order(kind), clock)).toBe(true);
    expect(await count("bench_entry WHERE outcome = 'refused'")).toBe(0);
    expect(await count('strain')).toBe(expected.strains);
    expect(await count('jar WHERE gone_on IS NULL')).toBeGreaterThanOrEqual(expected.jarsAtLeast);
    expect(await count("bulk_run WHERE state = 'planned'")).toBe(expected.runsAhead);
    expect(await count('plan')).toBe(1);
    // The worker would plan the same facts once more.
    expect(await count('outbox WHERE published_at IS NULL')).toBe(0);
  }, 180_000);

  if (kind === 'farm')
    it('shows a visitor several kinds of flags, few of each, and values learned from its log', async () => {
      const flags = await database.sql<{ kind: string; n: number }>(
        'SELECT kind, count(*)::int AS n FROM watch_flag WHERE settled_at IS NULL GROUP BY kind',
      );
      expect(flags.map(({ kind: each }) => each)).toEqual(expect.arrayContaining(['cycle-departed', 'slow-lot']));
      expect(flags.length).toBeGreaterThanOrEqual(4);
      expect(Math.max(...flags.map(({ n }) => n))).toBeLessThanOrEqual(10);
      expect(await count('strain WHERE days_to_ripe IS NULL AND loss_rate IS NULL')).toBeGreaterThanOrEqual(2);
    });

  it('is not loaded a second time', async () => {
    const before = await count('bench_entry');
    expect(await loadDemo(database, order(kind), clock)).toBe(false);
    expect(await count('bench_entry')).toBe(before);
  });
});

describe('an interrupted demo', () => {
  it('is continued by the next start to the same farm', async () => {
    const [whole, broken] = await Promise.all([createTestDatabase(), createTestDatabase()]);
    const jarsOf = (database: TestDatabase) => database.sql('SELECT id, code, left_g FROM jar ORDER BY id');
    await loadDemo(whole, order('kitchen'), clock);
    // The connection breaks in the middle of the lists.
    let transactions = 0;
    const breaking = new Proxy(broken.growerDb, {
      get: (target, key) => {
        if (key !== 'run') return Reflect.get(target, key).bind(target);
        return (...args: Parameters<typeof target.run>) => {
          transactions += 1;
          return transactions > 2 ? Promise.reject(new Error('connection lost')) : target.run(...args);
        };
      },
    });
    await expect(loadDemo({ ...broken, growerDb: breaking }, order('kitchen'), clock)).rejects.toThrow(
      'connection lost',
    );
    expect(await loadDemo(broken, order('kitchen'), clock)).toBe(true);
    expect(await jarsOf(broken)).toEqual(await jarsOf(whole));
    await Promise.all([whole.close(), broken.close()]);
  }, 60_000);
});
