import { type GrowerTx, Prisma } from '../platform/index.js';

/** Tables of a farm in the order in which their rows can be put back: what is pointed at comes first. */
export const FARM_TABLES = [
  ...[
    'staff',
    'staff_name',
    'staff_away',
    'device',
    'farm_settings',
    'exchange_settings',
    'plan_settings',
    'import_mapping',
  ],
  ...[
    'room',
    'shelf',
    'strain',
    'container_size',
    'container_pool',
    'recipe',
    'grain_batch',
    'grain_stock_entry',
    'steriliser_cycle',
  ],
  ...['lot', 'jar', 'bulk_run', 'bulk_run_strain', 'bench_counter', 'bench_entry', 'bench_entry_thing', 'bench_void'],
  ...['jar_draw', 'harvest', 'cycle_trace', 'bench_photo', 'plan', 'plan_pin', 'watch_flag'],
] as const;

/** What stays behind: secrets, sign-in, work that is under way, and copies of files. */
export const NOT_EXPORTED: Readonly<Record<string, string>> = {
  membership: 'who may sign in is settled on each server',
  session: 'sign-ins end with the server',
  staff_pin: 'a secret',
  device_enrolment: 'a secret',
  device_token: 'a secret',
  calendar_feed: 'a secret address of this server',
  outbox: 'work under way',
  failed_job: 'work under way',
  workbook_file: 'made anew from the farm',
  file_export: 'files made from the farm',
  file_import: 'files that people still have',
};

/** One row to a farm and settings that every farm is made with: written over instead of added. */
const ONE_TO_A_FARM: ReadonlySet<string> = new Set(['farm_settings', 'exchange_settings', 'plan_settings']);

export type FarmRow = Readonly<Record<string, unknown>>;

/** Rows of a table without the grower's id; mothers before their daughters. */
export async function readTable(tx: GrowerTx, growerId: string, table: string): Promise<FarmRow[]> {
  const order =
    table === 'jar' ? Prisma.sql`ORDER BY generation NULLS FIRST, made_at, code` : Prisma.sql`ORDER BY t::text`;
  const rows = await tx.$queryRaw<{ row: FarmRow }[]>`
    SELECT to_jsonb(t) - 'grower_id' AS row FROM ${nameOf(table)} t WHERE grower_id = ${growerId}::uuid ${order}`;
  return rows.map(({ row }) => row);
}

export async function countRows(tx: GrowerTx, growerId: string, table: string): Promise<number> {
  const [found] = await tx.$queryRaw<{ count: number }[]>`
    SELECT count(*)::int AS count FROM ${nameOf(table)} WHERE grower_id = ${growerId}::uuid`;
  return found?.count ?? 0;
}

/** Whether nothing was ever told to the farm: only then a whole farm can be put into it. */
export async function isEmptyFarm(tx: GrowerTx, growerId: string): Promise<boolean> {
  const [found] = await tx.$queryRaw<{ empty: boolean }[]>`
    SELECT NOT EXISTS (SELECT FROM strain WHERE grower_id = g.id) AND NOT EXISTS (SELECT FROM room WHERE grower_id = g.id)
       AND NOT EXISTS (SELECT FROM bulk_run WHERE grower_id = g.id)
       AND NOT EXISTS (SELECT FROM grain_stock_entry WHERE grower_id = g.id)
       AND NOT EXISTS (SELECT FROM staff_away WHERE grower_id = g.id)
       AND coalesce((SELECT position FROM bench_counter WHERE grower_id = g.id), 0) = 0 AS empty
      FROM (SELECT ${growerId}::uuid AS id) g`;
  return found?.empty ?? false;
}

export async function writeTable(
  tx: GrowerTx,
  growerId: string,
  table: string,
  rows: readonly FarmRow[],
): Promise<void> {
  if (rows.length === 0) return;
  const json = JSON.stringify(rows.map((row) => ({ ...row, grower_id: growerId })));
  if (table === 'bench_counter') {
    await tx.$executeRaw`
      UPDATE bench_counter SET position = r.position, head_hash = r.head_hash
        FROM jsonb_populate_recordset(null::bench_counter, ${json}::jsonb) r WHERE bench_counter.grower_id = r.grower_id`;
    return;
  }
  await tx.$executeRaw`
    INSERT INTO ${nameOf(table)} SELECT * FROM jsonb_populate_recordset(null::${nameOf(table)}, ${json}::jsonb)
    ${ONE_TO_A_FARM.has(table) ? overwrite(rows[0] ?? {}) : Prisma.empty}`;
}

export async function renameFarm(
  tx: GrowerTx,
  growerId: string,
  { name, timeZone, locale }: { readonly name: string; readonly timeZone: string; readonly locale: string },
): Promise<void> {
  await tx.grower.update({ where: { id: growerId }, data: { name, timeZone, locale } });
}

function overwrite(row: FarmRow): Prisma.Sql {
  const set = Object.keys(row).map((column) => Prisma.raw(`${quoted(column)} = EXCLUDED.${quoted(column)}`));
  return Prisma.sql`ON CONFLICT (grower_id) DO UPDATE SET ${Prisma.join(set)}`;
}

function nameOf(table: string): Prisma.Sql {
  if (!FARM_TABLES.some((known) => known === table)) throw new RangeError(`There is no table ${table} of a farm.`);
  return Prisma.raw(quoted(table));
}

/** A name from a file never gets further than this. */
function quoted(name: string): string {
  if (!/^[a-z_]{1,60}$/.test(name)) throw new RangeError(`"${name}" is no name of a column.`);
  return `"${name}"`;
}
