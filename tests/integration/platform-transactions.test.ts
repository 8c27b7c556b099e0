import { randomUUID } from 'node:crypto';
import { type GrowerContext, type GrowerTx, savepoint } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import { makeGrower } from '../support/growers.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let database: TestDatabase;
let owner: GrowerContext;

beforeAll(async () => {
  database = await createTestDatabase({ maxConnections: 2 });
  ({ owner } = await makeGrower(database));
});
afterAll(() => database.close());

const addRoom = (tx: GrowerTx, name: string, kind = 'cold') =>
  tx.room.create({ data: { growerId: owner.growerId, id: randomUUID(), name, kind } });
const roomNames = () =>
  database.growerDb.read(owner, async (tx) =>
    (await tx.room.findMany({ orderBy: { name: 'asc' } })).map((room) => room.name),
  );

describe('a transaction of a grower', () => {
  it('keeps nothing when its last step fails', async () => {
    const before = await roomNames();
    const work = database.growerDb.run(owner, async (tx) => {
      await addRoom(tx, 'Lost');
      throw new Error('last step');
    });
    await expect(work).rejects.toThrow('last step');
    expect(await roomNames()).toEqual(before);
  });

  it('undoes only the step whose savepoint failed, whether by our own error or the database’s', async () => {
    const refused = await database.growerDb.run(owner, async (tx) => {
      await addRoom(tx, 'First');
      const ours = await savepoint(tx, async () => {
        await addRoom(tx, 'Second');
        throw new Error('ours');
      }).catch((error: Error) => error.message);
      const theirs = await savepoint(tx, () => addRoom(tx, 'First')).then(
        () => 'accepted',
        () => 'refused by the database',
      );
      await savepoint(tx, () => addRoom(tx, 'Third'));
      return [ours, theirs];
    });
    expect(refused).toEqual(['ours', 'refused by the database']);
    expect(await roomNames()).toEqual(expect.arrayContaining(['First', 'Third']));
    expect(await roomNames()).not.toContain('Second');
  });
});

describe('what the database refuses, a person can act on', () => {
  it.each([
    ['a name that is taken', 'conflict', (tx: GrowerTx) => addRoom(tx, 'Taken').then(() => addRoom(tx, 'Taken'))],
    ['a word that is not of the list', 'invalid-input', (tx: GrowerTx) => addRoom(tx, 'Cellar', 'dungeon')],
    [
      'grams that do not add up',
      'invalid-input',
      (tx: GrowerTx) => tx.$executeRaw`
        INSERT INTO jar (grower_id, id, code, lot_id, serial, blank, size_id, state, made_on, made_at, made_g, left_g, drawn_g)
        VALUES (${owner.growerId}::uuid, gen_random_uuid(), 'X', gen_random_uuid(), 1, true, gen_random_uuid(), 'ripe',
                '2026-11-25', now(), 600, 600.001, 0)`,
    ],
    [
      'a parent that is missing',
      'not-found',
      (tx: GrowerTx) =>
        tx.shelf.create({
          data: {
            growerId: owner.growerId,
            id: randomUUID(),
            roomId: randomUUID(),
            name: 'S',
            rows: 1,
            placesPerRow: 1,
          },
        }),
    ],
    [
      'a row to change that is missing',
      'not-found',
      (tx: GrowerTx) =>
        tx.room.update({ where: { growerId_id: { growerId: owner.growerId, id: randomUUID() } }, data: { name: 'N' } }),
    ],
  ])('%s: %s', async (_, code, work) => {
    await expect(database.growerDb.run(owner, work as (tx: GrowerTx) => Promise<unknown>)).rejects.toMatchObject({
      name: 'AppError',
      code,
    });
  });

  it('grams are exact to the milligram: tenths that floating point cannot add do add up', async () => {
    const [row] = await database.growerDb.run(
      owner,
      (tx) => tx.$queryRaw<{ same: boolean }[]>`
        SELECT ${0.1}::numeric(12,3) + ${0.2}::numeric(12,3) = ${0.1 + 0.2}::numeric(12,3) AS same`,
    );
    expect(row).toEqual({ same: true });
  });

  it('a lost connection is said to be passing, and the next request works', async () => {
    const attempt = database.growerDb.run(owner, async (tx) => {
      await tx.room.count();
      await database.sql(
        `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'jarfold_app' AND datname = current_database()`,
      );
      return tx.room.count();
    });
    await expect(attempt).rejects.toMatchObject({ name: 'AppError', code: 'unavailable' });
    expect(await roomNames()).toContain('First');
  });

  it('a wait for a connection that takes too long is said to be passing', async () => {
    let release = (): void => undefined;
    const held = new Promise<void>((settle) => {
      release = settle;
    });
    const holders = [1, 2].map(() => database.growerDb.run(owner, () => held));
    const late = database.growerDb.run(owner, async () => 'served').catch((error: { code?: string }) => error.code);
    expect(await late).toBe('unavailable');
    release();
    await Promise.all(holders);
    expect(await roomNames()).toContain('First');
  });
});
