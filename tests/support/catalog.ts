/** What the database itself says about its tables. Everything takes the query function, so that a planted defect in an open transaction is seen too. */
export type Query = <Row extends object>(text: string, values?: readonly unknown[]) => Promise<Row[]>;

/** Tables that belong to no single grower, or (membership, session) only say which grower a sign-in is for. */
export const PLATFORM_TABLES = [
  '_prisma_migrations',
  'account',
  'device_enrolment',
  'device_token',
  'grower',
  'membership',
  'session',
  'setup_token',
  'sign_in_throttle',
] as const;

export interface Column {
  readonly table: string;
  readonly name: string;
  readonly type: string;
  readonly required: boolean;
  readonly defaulted: boolean;
}

export interface ForeignKey {
  readonly table: string;
  readonly name: string;
  readonly columns: readonly string[];
  readonly parent: string;
  readonly parentColumns: readonly string[];
}

export async function tables(query: Query): Promise<string[]> {
  const rows = await query<{ name: string }>(
    `SELECT relname AS name FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p') ORDER BY 1`,
  );
  return rows.map((row) => row.name);
}

/** Every table that is not on the platform's list: each must hold one grower's rows apart from another's. */
export async function growerTables(query: Query): Promise<string[]> {
  const platform = new Set<string>(PLATFORM_TABLES);
  return (await tables(query)).filter((name) => !platform.has(name));
}

export function columns(query: Query): Promise<Column[]> {
  return query<Column>(
    `SELECT c.relname AS table, a.attname AS name, format_type(a.atttypid, NULL) AS type,
            a.attnotnull AS required, a.atthasdef AS defaulted
     FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid
     WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND a.attnum > 0 AND NOT a.attisdropped
     ORDER BY c.relname, a.attnum`,
  );
}

const NAMES = (keys: string, table: string) =>
  `ARRAY(SELECT attname::text FROM unnest(${keys}) WITH ORDINALITY k(n, i) JOIN pg_attribute ON attrelid = ${table} AND attnum = n ORDER BY i)`;

export function foreignKeys(query: Query): Promise<ForeignKey[]> {
  return query<ForeignKey>(
    `SELECT c.relname AS table, x.conname AS name, ${NAMES('x.conkey', 'x.conrelid')} AS columns,
            p.relname AS parent, ${NAMES('x.confkey', 'x.confrelid')} AS "parentColumns"
     FROM pg_constraint x JOIN pg_class c ON c.oid = x.conrelid JOIN pg_class p ON p.oid = x.confrelid
     WHERE x.contype = 'f' AND c.relnamespace = 'public'::regnamespace ORDER BY 1, 2`,
  );
}

export interface UniqueIndex {
  readonly table: string;
  readonly name: string;
  readonly primary: boolean;
  /** First column's name, or null when it is an expression. */
  readonly first: string | null;
}

export function uniqueIndexes(query: Query): Promise<UniqueIndex[]> {
  return query<UniqueIndex>(
    `SELECT c.relname AS table, i.relname AS name, x.indisprimary AS primary,
            (SELECT attname FROM pg_attribute WHERE attrelid = c.oid AND attnum = x.indkey[0]) AS first
     FROM pg_index x JOIN pg_class c ON c.oid = x.indrelid JOIN pg_class i ON i.oid = x.indexrelid
     WHERE x.indisunique AND c.relnamespace = 'public'::regnamespace ORDER BY 1, 2`,
  );
}

/** Parents before children. A table that points at itself does not wait for itself. */
export function parentsFirst(names: readonly string[], keys: readonly ForeignKey[]): string[] {
  const ordered: string[] = [];
  const visit = (name: string, path: readonly string[]): void => {
    if (ordered.includes(name) || path.includes(name)) return;
    for (const key of keys.filter((one) => one.table === name))
      if (names.includes(key.parent)) visit(key.parent, [...path, name]);
    ordered.push(name);
  };
  for (const name of names) visit(name, []);
  return ordered;
}
