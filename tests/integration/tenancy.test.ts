import { randomUUID } from 'node:crypto';
import { AppError } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { growerTables, type Query } from '../support/catalog.js';
import { descendants, type FarmRows, farmRows, insertSql, seedFamily } from '../support/grower-rows.js';
import { makeGrower } from '../support/growers.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

/**
 * Two growers, A and B, hold the very same ids and names in every farm table. What the app role does for A must leave B
 * as it was, and A must not even learn that B exists. The tables come from the catalog, so a new one is tested at once.
 */
let database: TestDatabase;
let client: pg.Client;
let query: Query;
let rows: FarmRows;

const A = randomUUID();
const B = randomUUID();
/** Both growers have family 1; only B has family 2. */
const SHARED = 1;
const ONLY_B = 2;
const FRESH = 3;

/** Names must be known before the database is: the list is checked against the catalog below. */
const TABLES = [
  'bench_counter',
  'bench_entry',
  'bench_entry_thing',
  'bench_photo',
  'bench_void',
  'bulk_run',
  'bulk_run_strain',
  'calendar_feed',
  'container_pool',
  'container_size',
  'cycle_trace',
  'device',
  'exchange_settings',
  'failed_job',
  'farm_settings',
  'file_export',
  'file_import',
  'grain_batch',
  'grain_stock_entry',
  'harvest',
  'import_mapping',
  'jar',
  'jar_draw',
  'lot',
  'outbox',
  'plan',
  'plan_pin',
  'plan_settings',
  'recipe',
  'room',
  'shelf',
  'staff',
  'staff_away',
  'staff_name',
  'staff_pin',
  'steriliser_cycle',
  'strain',
  'watch_flag',
  'workbook_file',
];
/** One row per grower: B cannot have a second one of them. */
const ONE_PER_GROWER = ['bench_counter', 'exchange_settings', 'farm_settings', 'plan_settings'];

beforeAll(async () => {
  database = await createTestDatabase({ maxConnections: 2 });
  client = new pg.Client({ connectionString: database.superuserUrl });
  await client.connect();
  query = async <Row extends object>(text: string, values: readonly unknown[] = []) =>
    (await client.query(text, [...values])).rows as Row[];
  rows = await farmRows(query);
  for (const growerId of [A, B]) {
    await query(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
    await seedFamily(query, rows, growerId, SHARED);
  }
  await seedFamily(query, { ...rows, tables: rows.tables.filter((name) => !ONE_PER_GROWER.includes(name)) }, B, ONLY_B);
});

afterAll(async () => {
  await client.end();
  await database.close();
});

/** Does the work and undoes it, so that every test finds the two farms as they were. */
async function undone<T>(work: () => Promise<T>): Promise<T> {
  await client.query('BEGIN');
  try {
    return await work();
  } finally {
    await client.query('ROLLBACK');
  }
}

/** From here on in this transaction: the app role, for a grower, or for none. */
async function actFor(growerId: string | null, role = 'jarfold_app'): Promise<void> {
  await client.query(`SET LOCAL ROLE ${role}`);
  await client.query(`SELECT set_config('app.grower_id', $1, true)`, [growerId ?? '']);
}

async function lookBehind(): Promise<void> {
  await client.query('RESET ROLE');
}

/** The SQLSTATE and sentence with which a statement is refused, or null; the transaction goes on. */
async function refusal(text: string, values: unknown[] = []): Promise<{ code: string; message: string } | null> {
  await client.query('SAVEPOINT attempt');
  try {
    await client.query(text, values);
    return null;
  } catch (error) {
    return { code: (error as { code: string }).code, message: (error as Error).message };
  } finally {
    await client.query('ROLLBACK TO SAVEPOINT attempt');
  }
}

async function count(table: string, where = 'true', values: readonly unknown[] = []): Promise<number> {
  const [row] = await query<{ n: number }>(`SELECT count(*)::int AS n FROM ${table} WHERE ${where}`, values);
  return row!.n;
}

/** A digest of all rows of a grower in a table. */
async function digest(table: string, growerId: string): Promise<string> {
  const [row] = await query<{ d: string }>(
    `SELECT coalesce(md5(string_agg(t::text || t.xmin::text, '|' ORDER BY t::text)), '') AS d FROM ${table} t WHERE grower_id = $1`,
    [growerId],
  );
  return row!.d;
}

async function may(table: string, privilege: string, role = 'jarfold_app'): Promise<boolean> {
  const [row] = await query<{ may: boolean }>('SELECT has_table_privilege($1, $2, $3) AS may', [
    role,
    table,
    privilege,
  ]);
  return row!.may;
}

async function updatableColumn(table: string): Promise<string | null> {
  const [row] = await query<{ name: string }>(
    `SELECT attname AS name FROM pg_attribute WHERE attrelid = $1::regclass AND attnum > 0 AND NOT attisdropped
       AND has_column_privilege('jarfold_app', attrelid, attnum, 'UPDATE') ORDER BY (attname = 'grower_id'), attnum LIMIT 1`,
    [table],
  );
  return row?.name ?? null;
}

/** Rows of strangers that the app role sees when it acts for a grower: none, ever. */
async function strangersSeen(table: string, growerId: string): Promise<number> {
  await actFor(growerId);
  const seen = await count(table, 'grower_id <> $1', [growerId]);
  await lookBehind();
  return seen;
}

it('the tables tested are all farm tables there are', async () => {
  expect(await growerTables(query)).toEqual([...TABLES].sort());
});

describe.each(TABLES)('%s of two growers with the same ids', (table) => {
  it('each sees its own rows and no other', () =>
    undone(async () => {
      const own = await count(table, 'grower_id = $1', [A]);
      expect(own).toBeGreaterThan(0);
      expect(await count(table, 'grower_id = $1', [B])).toBeGreaterThan(0);
      expect(await strangersSeen(table, A)).toBe(0);
      await actFor(A);
      expect(await count(table)).toBe(own);
    }));

  it('an update without a condition leaves the other as it was', () =>
    undone(async () => {
      const column = await updatableColumn(table);
      const before = await digest(table, B);
      const own = await count(table, 'grower_id = $1', [A]);
      await actFor(A);
      if (column === null) {
        expect((await refusal(`UPDATE ${table} SET grower_id = grower_id`))?.code).toBe('42501');
      } else {
        expect((await client.query(`UPDATE ${table} SET "${column}" = "${column}"`)).rowCount).toBe(own);
        const aimed = `UPDATE ${table} SET "${column}" = "${column}" WHERE grower_id = $1`;
        expect((await client.query(aimed, [B])).rowCount).toBe(0);
      }
      await lookBehind();
      expect(await digest(table, B)).toBe(before);
    }));

  it('a delete without a condition leaves the other as it was', () =>
    undone(async () => {
      const deletable = await may(table, 'DELETE');
      const before = await digest(table, B);
      if (!deletable) {
        await actFor(A);
        expect((await refusal(`DELETE FROM ${table}`))?.code).toBe('42501');
        return;
      }
      const children = descendants(table, rows).reverse();
      await actFor(A);
      for (const child of children) await client.query(`DELETE FROM ${child}`);
      expect((await client.query(`DELETE FROM ${table}`)).rowCount).toBeGreaterThan(0);
      await lookBehind();
      expect(await count(table, 'grower_id = $1', [A])).toBe(0);
      for (const one of [table, ...children]) expect(await count(one, 'grower_id = $1', [B])).toBeGreaterThan(0);
      expect(await digest(table, B)).toBe(before);
    }));

  it('a row cannot be written for the other, nor moved to it', () =>
    undone(async () => {
      const { text, values } = insertSql(table, rows.row(table, B, FRESH));
      const insertable = await may(table, 'INSERT');
      const movable = (await may(table, 'UPDATE')) as boolean;
      await actFor(A);
      const refused = await refusal(text, values);
      expect(refused?.code).toBe('42501');
      if (insertable) expect(refused?.message).toMatch(/row-level security policy/);
      const moved = await refusal(`UPDATE ${table} SET grower_id = $1`, [B]);
      expect(moved?.code).toBe('42501');
      if (movable) expect(moved?.message).toMatch(/row-level security policy/);
    }));

  it('a parent that only the other has is refused exactly like one that nobody has', async () => {
    const keys = rows.keys.filter((key) => key.table === table && key.parent !== 'grower');
    for (const key of keys) {
      await undone(async () => {
        await seedFamily(query, rows, A, FRESH, table);
        const good = rows.row(table, A, FRESH);
        const strange = rows.row(key.parent, B, ONLY_B);
        const theirs = Object.fromEntries(
          key.columns.slice(1).map((name, at) => [name, strange[key.parentColumns[at + 1]!]]),
        );
        const nobodys = Object.fromEntries(Object.entries(theirs).map(([name, value]) => [name, elsewhere(value)]));
        if (await may(table, 'INSERT')) await actFor(A);
        const accepted = insertSql(table, good);
        const stolen = insertSql(table, { ...good, ...theirs });
        const invented = insertSql(table, { ...good, ...nobodys });
        expect(await refusal(accepted.text, accepted.values)).toBeNull();
        const answer = await refusal(stolen.text, stolen.values);
        expect(answer?.code).toBe('23503');
        expect(await refusal(invented.text, invented.values)).toEqual(answer);
      });
    }
  });

  it('without a grower there are no rows, for the app role and for the owner', () =>
    undone(async () => {
      await actFor(null);
      expect(await count(table)).toBe(0);
      await lookBehind();
      await actFor(null, 'jarfold_owner');
      expect(await count(table)).toBe(0);
    }));
});

function elsewhere(value: unknown): unknown {
  return typeof value === 'string' ? randomUUID() : 987_654;
}

describe('the grower row', () => {
  it('is the only one its farm sees, and only its name, zone and language can be changed', () =>
    undone(async () => {
      await actFor(A);
      expect(await query('SELECT id FROM grower')).toEqual([{ id: A }]);
      expect((await client.query(`UPDATE grower SET name = 'Renamed'`)).rowCount).toBe(1);
      expect((await refusal('UPDATE grower SET id = id'))?.code).toBe('42501');
      await lookBehind();
      expect(await count('grower', "name = 'Renamed'")).toBe(1);
    }));
});

describe('the platform role', () => {
  it.each(TABLES)('writes %s for no grower but the one it is making', async (table) => {
    await undone(async () => {
      const { text, values } = insertSql(table, rows.row(table, B, FRESH));
      const relays = table === 'failed_job'; // written by the worker for whichever grower the job was
      await actFor(A, 'jarfold_platform');
      if (relays) expect(await refusal(text, values)).toBeNull();
      else expect((await refusal(text, values))?.code).toBe('42501');
    });
  });

  it('reads of all farms who exists, who works there and what waits, and nothing else', async () => {
    const readable: string[] = [];
    for (const table of TABLES) {
      await undone(async () => {
        await actFor(null, 'jarfold_platform');
        if ((await refusal(`SELECT 1 FROM ${table}`)) === null && (await count(table)) > 0) readable.push(table);
      });
    }
    expect(readable).toEqual(['failed_job', 'outbox', 'staff', 'staff_name']);
  });
});

describe('a connection that goes back to the pool', () => {
  it('sees nothing afterwards, whether the transaction was committed or failed', async () => {
    const pool = new pg.Pool({ connectionString: database.urls.app, max: 1 });
    try {
      for (const ending of ['COMMIT', 'ROLLBACK']) {
        await pool.query('BEGIN');
        await pool.query(`SELECT set_config('app.grower_id', $1, true)`, [A]);
        expect((await pool.query('SELECT FROM jar')).rowCount).toBeGreaterThan(0);
        await pool.query(ending);
        expect((await pool.query('SELECT FROM jar')).rowCount).toBe(0);
        const [left] = (await pool.query(`SELECT current_setting('app.grower_id', true) AS value`)).rows;
        expect(left).toEqual({ value: '' }); // not null: why app_grower() asks for both
      }
    } finally {
      await pool.end();
    }
  });

  it('keeps five farms apart over 1,500 interleaved transactions on two connections, one in five of them failing', async () => {
    const farms = await Promise.all(Array.from({ length: 5 }, (_, at) => makeGrower(database, `Farm ${at}`)));
    const once = async (at: number): Promise<string | number> => {
      const { growerId, owner } = farms[at % farms.length]!;
      const work = database.growerDb.run(owner, async (tx) => {
        const staff = await tx.staff.findMany({ select: { growerId: true } });
        if (at % 5 === 3 || at % 25 === 4) throw new Error('planned failure');
        return staff.filter((row) => row.growerId !== growerId).length * 1000 + staff.length;
      });
      return work.catch((error: Error) => (error.message === 'planned failure' ? 'failed' : error.message));
    };
    const lanes = Array.from({ length: 12 }, async (_, lane) => {
      const seen: (string | number)[] = [];
      for (let turn = 0; turn < 125; turn += 1) seen.push(await once(lane + turn * 12));
      return seen;
    });
    const seen = (await Promise.all(lanes)).flat();
    expect(seen).toHaveLength(1500);
    expect(new Set(seen)).toEqual(new Set([1, 'failed']));
    expect(seen.filter((one) => one === 'failed').length).toBeGreaterThan(300);
  }, 120_000);
});

describe('GrowerDb', () => {
  it('answers not-found for a stranger’s id and for an id of nobody, with the same words', async () => {
    const [mine, theirs] = [await makeGrower(database), await makeGrower(database)];
    const change = (id: string | null) =>
      database.growerDb
        .run(mine.owner, (tx) =>
          tx.staff.update({ where: { growerId_id: { growerId: mine.growerId, id: id! } }, data: { active: false } }),
        )
        .catch((error: unknown) => error as AppError);
    const stranger = (await change(theirs.owner.staffId)) as AppError;
    const nobody = (await change(randomUUID())) as AppError;

    expect(stranger.code).toBe('not-found');
    expect({ ...stranger.details, message: stranger.message }).toEqual({ ...nobody.details, message: nobody.message });
  });

  it('answers not-found for a row written for a stranger', async () => {
    const [mine, theirs] = [await makeGrower(database), await makeGrower(database)];
    const write = database.growerDb.run(mine.owner, (tx) =>
      tx.room.create({ data: { growerId: theirs.growerId, id: randomUUID(), name: 'Room', kind: 'cold' } }),
    );
    await expect(write).rejects.toMatchObject({ name: 'AppError', code: 'not-found' });
  });

  it('refuses every change inside read', async () => {
    const { growerId, owner } = await makeGrower(database);
    const change = database.growerDb.read(owner, (tx) =>
      tx.grower.update({ where: { id: growerId }, data: { name: 'Changed' } }),
    );
    await expect(change).rejects.toThrow(/read-only transaction/);
  });

  it('shows all queries of one read the same moment', async () => {
    const { growerId, owner } = await makeGrower(database);
    const rooms = await database.growerDb.read(owner, async (tx) => {
      const before = await tx.room.count();
      await database.sql(`INSERT INTO room (grower_id, id, name, kind) VALUES ($1, gen_random_uuid(), 'New', 'cold')`, [
        growerId,
      ]);
      return [before, await tx.room.count()];
    });
    expect(rooms).toEqual([0, 0]);
  });

  it('refuses a transaction inside a transaction instead of waiting for itself', async () => {
    const { owner } = await makeGrower(database);
    const nested = database.growerDb.run(owner, () => database.growerDb.run(owner, async () => 1));
    await expect(nested).rejects.toThrow(/open already/);
  });

  it('refuses a grower id that is not a UUID before it reaches the database', async () => {
    const attempt = database.growerDb.run({ growerId: `' OR true --` }, async () => 1);
    await expect(attempt).rejects.toThrow(TypeError);
  });
});

describe('the tests above', () => {
  it('see a stranger’s rows when a policy lets everything through', () =>
    undone(async () => {
      await client.query('ALTER POLICY own_rows ON jar USING (true)');
      expect(await strangersSeen('jar', A)).toBeGreaterThan(0);
    }));

  it('see the owner read everything when row security is not forced', () =>
    undone(async () => {
      await client.query('ALTER TABLE jar NO FORCE ROW LEVEL SECURITY');
      await actFor(null, 'jarfold_owner');
      expect(await count('jar')).toBeGreaterThan(0);
    }));

  it('see a stranger’s parent accepted when a foreign key lacks the grower', () =>
    undone(async () => {
      await client.query('ALTER TABLE shelf DROP CONSTRAINT shelf_grower_id_room_id_fkey');
      await seedFamily(query, rows, A, FRESH, 'shelf');
      const room = rows.row('room', B, ONLY_B).id;
      await actFor(A);
      const { text, values } = insertSql('shelf', { ...rows.row('shelf', A, FRESH), room_id: room });
      expect(await refusal(text, values)).toBeNull();
    }));
});
