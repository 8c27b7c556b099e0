import type { TestDatabase } from './test-database.js';

/** Plans are made anew in the background after a change, whenever that comes to its turn. */
const MOVES_BY_ITSELF = ['plan'];

const queries = new WeakMap<TestDatabase, Promise<string>>();

/** What is stored of a farm, in all tables that have rows of farms, as one digest per table. */
export async function farmDigest(database: TestDatabase, growerId: string): Promise<Record<string, string>> {
  const query = queries.get(database) ?? digestQuery(database);
  queries.set(database, query);
  const rows = await database.sql<{ name: string; digest: string }>(await query, [growerId]);
  return Object.fromEntries(rows.map(({ name, digest }) => [name, digest]));
}

/** One statement over all of them. */
async function digestQuery(database: TestDatabase): Promise<string> {
  const tables = await database.sql<{ table_name: string }>(
    `SELECT c.table_name FROM information_schema.columns c JOIN information_schema.tables t USING (table_schema, table_name)
     WHERE c.table_schema = 'public' AND c.column_name = 'grower_id' AND t.table_type = 'BASE TABLE'
       AND c.table_name <> ALL($1) ORDER BY 1`,
    [MOVES_BY_ITSELF],
  );
  const parts = tables.map(({ table_name: table }) => {
    // Being seen is not a change of the farm: when a session was last used moves by itself too.
    const row = table === 'session' ? `(to_jsonb(t) - 'last_seen_at')::text` : 't::text';
    const lines = `coalesce(string_agg(${row}, E'\\n' ORDER BY ${row}), '')`;
    return `SELECT '${table}' AS name, count(*) || ':' || md5(${lines}) AS digest FROM ${table} t WHERE grower_id = $1`;
  });
  return parts.join(' UNION ALL ');
}
