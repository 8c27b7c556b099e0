import { foreignKeys, growerTables, PLATFORM_TABLES, type Query, tables, uniqueIndexes } from './catalog.js';

/**
 * Rules that keep growers apart, read back from the catalog. Each check answers with one sentence per breach; the tests
 * ask for none, and plant a defect to see that each check can find one.
 */
export type Check = (query: Query) => Promise<string[]>;

/** How a policy must read for the app role, as PostgreSQL prints it. */
const OWN_ROWS = '(grower_id = ( SELECT app_grower() AS app_grower))';
const OWN_GROWER = '(id = ( SELECT app_grower() AS app_grower))';

/** What the platform role may do across growers, and no more: table, command. */
const PLATFORM_POLICIES = [
  'bench_counter *',
  'device a',
  'failed_job *',
  'farm_settings *',
  'grower a',
  'grower r',
  'outbox *',
  'staff a',
  'staff r',
  'staff_name a',
  'staff_name r',
];

const SERVING_ROLES = ['jarfold_app', 'jarfold_platform', 'jarfold_queue'];

export const rowSecurityIsForced: Check = async (query) => {
  const rows = await query<{ name: string; enabled: boolean; forced: boolean }>(
    `SELECT relname AS name, relrowsecurity AS enabled, relforcerowsecurity AS forced FROM pg_class
     WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p')`,
  );
  const guarded = new Set([...(await growerTables(query)), 'grower']);
  return rows
    .filter(({ name, enabled, forced }) => guarded.has(name) && !(enabled && forced))
    .map(({ name, enabled }) => `${name}: row security is ${enabled ? 'not forced' : 'not enabled'}`);
};

interface Policy {
  readonly table: string;
  readonly name: string;
  readonly command: string;
  readonly permissive: boolean;
  readonly roles: string[];
  readonly reads: string | null;
  readonly writes: string | null;
}

export const policiesCoverEveryCommand: Check = async (query) => {
  const policies = await query<Policy>(
    `SELECT c.relname AS table, p.polname AS name, p.polcmd::text AS command, p.polpermissive AS permissive,
            ARRAY(SELECT coalesce(rolname::text, 'PUBLIC') FROM unnest(p.polroles) r LEFT JOIN pg_roles ON oid = r) AS roles,
            pg_get_expr(p.polqual, p.polrelid) AS reads, pg_get_expr(p.polwithcheck, p.polrelid) AS writes
     FROM pg_policy p JOIN pg_class c ON c.oid = p.polrelid ORDER BY 1, 2`,
  );
  const guarded = [...(await growerTables(query)), 'grower'];
  return [...guarded.flatMap((table) => uncovered(table, policies)), ...policies.flatMap(loosened)];
};

function uncovered(table: string, policies: readonly Policy[]): string[] {
  const own = policies.filter((policy) => policy.table === table && policy.roles.includes('jarfold_app'));
  return ['r', 'a', 'w', 'd']
    .filter((command) => !own.some((policy) => policy.command === command || policy.command === '*'))
    .map((command) => `${table}: no policy of jarfold_app for command ${command}`);
}

/** Permissive policies add up, so one that is looser than the rule undoes all others. */
function loosened(policy: Policy): string[] {
  const { table, name, command, roles, reads, writes } = policy;
  if (roles.length === 1 && roles[0] === 'jarfold_platform') {
    return PLATFORM_POLICIES.includes(`${table} ${command}`)
      ? []
      : [`${table}: policy ${name} lets the platform role in`];
  }
  if (roles.length !== 1 || roles[0] !== 'jarfold_app') return [`${table}: policy ${name} is for ${roles.join(', ')}`];
  const rule = table === 'grower' ? OWN_GROWER : OWN_ROWS;
  const readsRight = command === 'a' || reads === rule;
  const writesRight = command === 'r' || command === 'd' || writes === rule;
  return readsRight && writesRight ? [] : [`${table}: policy ${name} reads ${reads} and writes ${writes}`];
}

export const everyTableIsAccountedFor: Check = async (query) => {
  const withGrower = await query<{ table: string; required: boolean }>(
    `SELECT attrelid::regclass::text AS table, attnotnull AS required FROM pg_attribute
     WHERE attname = 'grower_id' AND attrelid IN (SELECT oid FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p'))`,
  );
  const all = await tables(query);
  const gone = PLATFORM_TABLES.filter((name) => !all.includes(name)).map((name) => `${name}: listed but not there`);
  const missing = (await growerTables(query))
    .filter((name) => !withGrower.some(({ table, required }) => table === name && required))
    .map((name) => `${name}: no required grower_id, and not a platform table`);
  return [...gone, ...missing];
};

export const keysBeginWithGrower: Check = async (query) => {
  const guarded = new Set(await growerTables(query));
  const indexes = (await uniqueIndexes(query)).filter(({ table }) => guarded.has(table));
  const loose = indexes
    .filter(({ first }) => first !== 'grower_id')
    .map(({ table, name }) => `${table}: unique index ${name} does not begin with grower_id`);
  const keyless = [...guarded]
    .filter((table) => !indexes.some((index) => index.table === table && index.primary))
    .map((table) => `${table}: no primary key`);
  return [...loose, ...keyless];
};

export const foreignKeysBeginWithGrower: Check = async (query) => {
  const guarded = new Set(await growerTables(query));
  return (await foreignKeys(query)).flatMap(({ table, name, columns, parent, parentColumns }) => {
    if (!guarded.has(table) && !guarded.has(parent)) return [];
    const target = parent === 'grower' ? 'id' : 'grower_id';
    if (columns[0] === 'grower_id' && parentColumns[0] === target) return [];
    return [`${table}: foreign key ${name} does not begin with grower_id`];
  });
};

export const rolesAreNarrow: Check = async (query) => {
  const roles = await query<Record<'name', string> & Record<'super' | 'bypass' | 'createrole' | 'createdb', boolean>>(
    `SELECT rolname AS name, rolsuper AS super, rolbypassrls AS bypass, rolcreaterole AS createrole, rolcreatedb AS createdb
     FROM pg_roles WHERE rolname = ANY($1)`,
    [SERVING_ROLES],
  );
  const powers = roles.flatMap(({ name, ...power }) =>
    Object.entries(power).flatMap(([key, has]) => (has ? [`${name}: has ${key}`] : [])),
  );
  const members = await query<{ member: string; of: string }>(
    `SELECT m.rolname AS member, r.rolname AS of FROM pg_auth_members a
     JOIN pg_roles m ON m.oid = a.member JOIN pg_roles r ON r.oid = a.roleid WHERE m.rolname = ANY($1)`,
    [SERVING_ROLES],
  );
  const absent = SERVING_ROLES.filter((name) => !roles.some((role) => role.name === name));
  return [
    ...powers,
    ...members.map(({ member, of }) => `${member}: is a member of ${of}`),
    ...absent.map((name) => `${name}: is missing`),
  ];
};

export const rolesOwnNothing: Check = async (query) => {
  const owned = await query<{ role: string; what: string }>(
    `SELECT pg_get_userbyid(relowner) AS role, oid::regclass::text AS what FROM pg_class WHERE pg_get_userbyid(relowner) = ANY($1)
     UNION ALL SELECT pg_get_userbyid(proowner), oid::regprocedure::text FROM pg_proc WHERE pg_get_userbyid(proowner) = ANY($1)
     UNION ALL SELECT pg_get_userbyid(nspowner), nspname FROM pg_namespace WHERE pg_get_userbyid(nspowner) = ANY($1)
     UNION ALL SELECT pg_get_userbyid(datdba), datname FROM pg_database WHERE pg_get_userbyid(datdba) = ANY($1)`,
    [['jarfold_app', 'jarfold_platform']],
  );
  const queue = await query<{ what: string }>(
    `SELECT relname AS what FROM pg_class WHERE relnamespace = 'public'::regnamespace AND pg_get_userbyid(relowner) = 'jarfold_queue'`,
  );
  return [
    ...owned.map(({ role, what }) => `${role}: owns ${what}`),
    ...queue.map(({ what }) => `jarfold_queue: owns ${what} outside its schema`),
  ];
};

export const rolesCannotReshape: Check = async (query) => {
  const onTables = await query<{ role: string; table: string; privilege: string }>(
    `SELECT r AS role, c.relname AS table, p AS privilege
     FROM pg_class c, unnest($1::text[]) r, unnest(ARRAY['TRUNCATE', 'REFERENCES', 'TRIGGER']) p
     WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p') AND has_table_privilege(r, c.oid, p)`,
    [SERVING_ROLES],
  );
  const onSchemas = await query<{ role: string; schema: string }>(
    `SELECT r AS role, nspname AS schema FROM pg_namespace, unnest($1::text[]) r
     WHERE nspname NOT LIKE 'pg\\_%' AND has_schema_privilege(r, oid, 'CREATE') AND NOT (nspname = 'bullmq' AND r = 'jarfold_queue')`,
    [SERVING_ROLES],
  );
  const onDatabase = await query<{ role: string; privilege: string }>(
    `SELECT r AS role, p AS privilege FROM unnest($1::text[]) r, unnest(ARRAY['CREATE', 'TEMP']) p
     WHERE has_database_privilege(r, current_database(), p)`,
    [SERVING_ROLES],
  );
  return [
    ...onTables.map(({ role, table, privilege }) => `${role}: ${privilege} on ${table}`),
    ...onSchemas.map(({ role, schema }) => `${role}: CREATE in schema ${schema}`),
    ...onDatabase.map(({ role, privilege }) => `${role}: ${privilege} on the database`),
  ];
};

/** Table privileges and privileges on single columns. */
const HOLDERS = `
  SELECT r AS role, c.relname AS table, p AS privilege
  FROM pg_class c, unnest($1::text[]) r, unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE']) p
  WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('r', 'p', 'v', 'm')
    AND (has_table_privilege(r, c.oid, p) OR (p <> 'DELETE' AND has_any_column_privilege(r, c.oid, p)))`;

interface Holder {
  readonly role: string;
  readonly table: string;
  readonly privilege: string;
}

export const theLogIsAppendOnly: Check = async (query) => {
  const held = await query<Holder>(HOLDERS, [SERVING_ROLES]);
  const triggers = await query<{ table: string }>(
    `SELECT tgrelid::regclass::text AS table FROM pg_trigger WHERE tgname = 'append_only' AND tgenabled = 'O'`,
  );
  const log = ['bench_entry', 'bench_entry_thing'];
  return [
    ...held
      .filter(({ table, privilege }) => log.includes(table) && ['UPDATE', 'DELETE'].includes(privilege))
      .map(({ role, table, privilege }) => `${role}: ${privilege} on ${table}`),
    ...log
      .filter((name) => !triggers.some(({ table }) => table === name))
      .map((name) => `${name}: no append_only trigger`),
  ];
};

export const platformTablesAreClosed: Check = async (query) => {
  const held = await query<Holder>(HOLDERS, [['jarfold_app', 'jarfold_queue']]);
  const allowed = new Set(['grower SELECT', 'grower UPDATE', '_prisma_migrations SELECT']);
  const platform = new Set<string>(PLATFORM_TABLES);
  return held
    .filter(({ role, table }) => role === 'jarfold_queue' || platform.has(table))
    .filter(({ role, table, privilege }) => role !== 'jarfold_app' || !allowed.has(`${table} ${privilege}`))
    .map(({ role, table, privilege }) => `${role}: ${privilege} on ${table}`);
};

export const viewsCheckAsTheReader: Check = async (query) => {
  const views = await query<{ name: string; kind: string; options: string[] | null }>(
    `SELECT relname AS name, relkind::text AS kind, reloptions AS options FROM pg_class
     WHERE relnamespace = 'public'::regnamespace AND relkind IN ('v', 'm')`,
  );
  return views
    .filter(({ kind, options }) => kind === 'm' || !(options ?? []).includes('security_invoker=true'))
    .map(({ name, kind }) => `${name}: ${kind === 'm' ? 'is a materialised view' : 'checks as its owner'}`);
};

export const definerFunctionsArePinned: Check = async (query) => {
  const functions = await query<{ name: string; pinned: boolean; open: boolean }>(
    `SELECT oid::regprocedure::text AS name, coalesce(array_to_string(proconfig, ',') ~ 'search_path=', false) AS pinned,
            has_function_privilege('public', oid, 'EXECUTE') AS open
     FROM pg_proc WHERE prosecdef AND pronamespace NOT IN ('pg_catalog'::regnamespace, 'information_schema'::regnamespace)`,
  );
  return functions
    .filter(({ pinned, open }) => !pinned || open)
    .map(({ name, pinned }) => `${name}: ${pinned ? 'anyone may call it' : 'its search_path is not pinned'}`);
};

export const nothingIsGrantedToEveryone: Check = async (query) => {
  const held = await query<{ what: string }>(
    `SELECT c.relname AS what FROM pg_class c, aclexplode(c.relacl) a
     WHERE c.relnamespace = 'public'::regnamespace AND a.grantee = 0
     UNION ALL SELECT p.oid::regprocedure::text FROM pg_proc p, aclexplode(coalesce(p.proacl, acldefault('f', p.proowner))) a
     WHERE p.pronamespace = 'public'::regnamespace AND a.grantee = 0
     UNION ALL SELECT n.nspname FROM pg_namespace n, aclexplode(n.nspacl) a
     WHERE n.nspname = 'public' AND a.grantee = 0 AND a.privilege_type = 'CREATE'`,
  );
  return held.map(({ what }) => `everyone has a privilege on ${what}`);
};
