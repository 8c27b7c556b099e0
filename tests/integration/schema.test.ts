import { migrate } from '@jarfold/server/platform';
import { afterAll, beforeAll, describe, expect, it } from '@jest/globals';
import pg from 'pg';
import { growerTables, type Query } from '../support/catalog.js';
import {
  type Check,
  definerFunctionsArePinned,
  everyTableIsAccountedFor,
  foreignKeysBeginWithGrower,
  keysBeginWithGrower,
  nothingIsGrantedToEveryone,
  platformTablesAreClosed,
  policiesCoverEveryCommand,
  rolesAreNarrow,
  rolesCannotReshape,
  rolesOwnNothing,
  rowSecurityIsForced,
  theLogIsAppendOnly,
  viewsCheckAsTheReader,
} from '../support/separation-checks.js';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';

let database: TestDatabase;
let client: pg.Client;
let query: Query;

beforeAll(async () => {
  database = await createTestDatabase();
  await migrate(database.env); // privileges on a database are not copied with it; every start puts them right
  client = new pg.Client({ connectionString: database.superuserUrl });
  await client.connect();
  query = async <Row extends object>(text: string, values: readonly unknown[] = []) =>
    (await client.query(text, [...values])).rows as Row[];
});

afterAll(async () => {
  await client.end();
  await database.close();
});

/** Each rule, and a defect that breaks it. */
const RULES: readonly (readonly [string, Check, string, RegExp])[] = [
  [
    'row security is enabled and forced on every farm table',
    rowSecurityIsForced,
    'ALTER TABLE jar NO FORCE ROW LEVEL SECURITY',
    /jar: row security is not forced/,
  ],
  [
    'row security cannot be off',
    rowSecurityIsForced,
    'ALTER TABLE lot DISABLE ROW LEVEL SECURITY',
    /lot: row security is not enabled/,
  ],
  [
    'every command has the own-rows policy',
    policiesCoverEveryCommand,
    'DROP POLICY own_rows ON jar',
    /jar: no policy of jarfold_app for command r/,
  ],
  [
    'no policy reads more than own rows',
    policiesCoverEveryCommand,
    'ALTER POLICY own_rows ON jar USING (true)',
    /jar: policy own_rows reads true/,
  ],
  [
    'no policy writes more than own rows',
    policiesCoverEveryCommand,
    'ALTER POLICY own_rows ON room WITH CHECK (true)',
    /room: policy own_rows .* writes true/,
  ],
  [
    'no second policy loosens the first',
    policiesCoverEveryCommand,
    'CREATE POLICY more ON strain FOR SELECT TO jarfold_app USING (true)',
    /strain: policy more/,
  ],
  [
    'no policy is for everyone',
    policiesCoverEveryCommand,
    'CREATE POLICY more ON strain USING (true)',
    /strain: policy more is for PUBLIC/,
  ],
  [
    'the platform role gets into no other farm table',
    policiesCoverEveryCommand,
    'CREATE POLICY more ON jar TO jarfold_platform USING (true)',
    /jar: policy more lets the platform role in/,
  ],
  [
    'every table is a farm table or a known platform table',
    everyTableIsAccountedFor,
    'CREATE TABLE stray (id uuid PRIMARY KEY)',
    /stray: no required grower_id/,
  ],
  [
    'a new farm table without row security is noticed',
    rowSecurityIsForced,
    'CREATE TABLE stray (grower_id uuid NOT NULL, id uuid, PRIMARY KEY (grower_id, id))',
    /stray: row security is not enabled/,
  ],
  [
    'every unique index begins with grower_id',
    keysBeginWithGrower,
    'CREATE UNIQUE INDEX loose ON jar (code)',
    /jar: unique index loose/,
  ],
  [
    'an expression does not count as grower_id',
    keysBeginWithGrower,
    'CREATE UNIQUE INDEX loose ON jar (lower(code), grower_id)',
    /jar: unique index loose/,
  ],
  [
    'every foreign key begins with grower_id',
    foreignKeysBeginWithGrower,
    'CREATE UNIQUE INDEX k ON room (id); ALTER TABLE shelf ADD CONSTRAINT loose FOREIGN KEY (room_id) REFERENCES room (id)',
    /shelf: foreign key loose/,
  ],
  ['the serving roles bypass nothing', rolesAreNarrow, 'ALTER ROLE jarfold_app BYPASSRLS', /jarfold_app: has bypass/],
  [
    'the serving roles are members of no other',
    rolesAreNarrow,
    'GRANT pg_read_all_data TO jarfold_app',
    /jarfold_app: is a member of pg_read_all_data/,
  ],
  ['the serving roles own nothing', rolesOwnNothing, 'ALTER TABLE jar OWNER TO jarfold_app', /jarfold_app: owns jar/],
  [
    'the serving roles cannot truncate',
    rolesCannotReshape,
    'GRANT TRUNCATE ON jar TO jarfold_app',
    /jarfold_app: TRUNCATE on jar/,
  ],
  [
    'the serving roles cannot reference',
    rolesCannotReshape,
    'GRANT REFERENCES ON jar TO jarfold_platform',
    /jarfold_platform: REFERENCES on jar/,
  ],
  [
    'the serving roles cannot create',
    rolesCannotReshape,
    'GRANT CREATE ON SCHEMA public TO jarfold_app',
    /jarfold_app: CREATE in schema public/,
  ],
  [
    'the log can only be appended to',
    theLogIsAppendOnly,
    'GRANT UPDATE (outcome) ON bench_entry TO jarfold_app',
    /jarfold_app: UPDATE on bench_entry/,
  ],
  [
    'the log is guarded against its owner too',
    theLogIsAppendOnly,
    'ALTER TABLE bench_entry DISABLE TRIGGER append_only',
    /bench_entry: no append_only trigger/,
  ],
  [
    'the app role sees no accounts or sessions',
    platformTablesAreClosed,
    'GRANT SELECT (email) ON account TO jarfold_app',
    /jarfold_app: SELECT on account/,
  ],
  [
    'views check as the reader',
    viewsCheckAsTheReader,
    'CREATE VIEW every_jar AS SELECT * FROM jar',
    /every_jar: checks as its owner/,
  ],
  [
    'there are no materialised views',
    viewsCheckAsTheReader,
    'CREATE MATERIALIZED VIEW every_jar AS SELECT * FROM jar',
    /every_jar: is a materialised view/,
  ],
  [
    'definer functions pin their search path',
    definerFunctionsArePinned,
    'CREATE FUNCTION f() RETURNS int LANGUAGE sql SECURITY DEFINER AS $$ SELECT 1 $$',
    /f\(\): its search_path is not pinned/,
  ],
  [
    'nothing is granted to everyone',
    nothingIsGrantedToEveryone,
    'GRANT SELECT ON jar TO PUBLIC',
    /everyone has a privilege on jar/,
  ],
];

describe('the catalog', () => {
  it.each(RULES)('%s', async (_, check) => {
    expect(await check(query)).toEqual([]);
  });

  it('knows the farm tables, so that the rules above are not true of nothing', async () => {
    const names = await growerTables(query);
    expect(names.length).toBeGreaterThanOrEqual(26);
    expect(names).toEqual(expect.arrayContaining(['jar', 'lot', 'bench_entry', 'strain', 'room', 'plan', 'outbox']));
  });
});

describe('the rules find what they are for', () => {
  it.each(RULES)('%s: a planted defect is reported', async (_, check, defect, breach) => {
    await client.query('BEGIN');
    try {
      await client.query(defect);
      expect((await check(query)).join('\n')).toMatch(breach);
    } finally {
      await client.query('ROLLBACK');
    }
  });
});

describe('what the database refuses whoever asks', () => {
  it('its owner cannot change or remove an entry of the log', async () => {
    const owner = new pg.Client({ connectionString: database.urls.owner });
    await owner.connect();
    try {
      await expect(owner.query('DELETE FROM bench_entry')).rejects.toMatchObject({ code: '42501' });
      await expect(owner.query("UPDATE bench_entry SET outcome = 'applied'")).rejects.toMatchObject({ code: '42501' });
      await expect(owner.query('TRUNCATE bench_entry CASCADE')).rejects.toMatchObject({ code: '42501' });
    } finally {
      await owner.end();
    }
  });
});
