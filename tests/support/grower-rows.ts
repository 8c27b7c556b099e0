import { createHash } from 'node:crypto';
import {
  type Column,
  columns,
  type ForeignKey,
  foreignKeys,
  growerTables,
  parentsFirst,
  type Query,
} from './catalog.js';

/**
 * Rows for every farm table, made from the catalog: a table added later is filled and tested without a word here, unless
 * one of its checks asks for a particular value. Rows of one family point at each other; ids and natural keys depend on
 * the family only, so that two growers can hold the very same ones.
 */
export interface FarmRows {
  readonly tables: readonly string[];
  readonly keys: readonly ForeignKey[];
  row(table: string, growerId: string, family: number): Row;
}
export type Row = Readonly<Record<string, unknown>>;

/** Values that a check asks for. Everything else follows from the column's type. */
const PARTICULAR: Readonly<Record<string, unknown>> = {
  'staff.role': 'hand',
  'farm_settings.bench_weekdays': [1],
  'room.kind': 'cold',
  'watch_flag.codes': ['A-1/01'],
  'watch_flag.seen_at': '2026-11-25T12:00:00Z',
  'cycle_trace.origin': 'file',
  'cycle_trace.unit': 'C',
  'cycle_trace.points': '[[0, 20], [10, 121]]',
  'exchange_settings.mass_unit': 'metric',
  'exchange_settings.temperature_unit': 'celsius',
  'exchange_settings.week_starts_on': 1,
  'exchange_settings.day_style': 'iso',
  'file_export.kind': 'weekly-workbook',
  'file_export.form': 'xlsx',
  'file_export.state': 'waiting',
  'file_import.kind': 'weekly-workbook',
  'file_import.state': 'previewed',
  'workbook_file.reason': 'weekly',
  'staff_pin.offline_iterations': 600_000,
  'grain_stock_entry.kind': 'counted',
  'lot.origin': 'inoculated',
  'lot.strain_id': 'parent',
  'lot.generation': 1,
  'jar.state': 'ripe',
  'jar.strain_id': 'parent',
  'jar.generation': 1,
  'jar.made_g': 10,
  'jar.left_g': 10,
  'bench_entry.outcome': 'applied',
  'bench_counter.position': 0,
  'bench_void.entry_id': 'other-parent',
  'bulk_run.kind': 'order',
  'bulk_run.jars': 3,
  'bulk_run.size_id': 'parent',
  'bulk_run.basis': null,
  'bulk_run.min_share': 0.8,
  'bulk_run.max_share': 1,
  'plan.status': 'proposed',
};

/** `parent`: filled although it may be empty. `other-parent`: of the lent family. */
const OPTIONAL_PARENTS = ['parent', 'other-parent'];
const LENT = 500;

export async function farmRows(query: Query): Promise<FarmRows> {
  const keys = await foreignKeys(query);
  const all = await columns(query);
  const names = parentsFirst(await growerTables(query), keys);
  const byTable = new Map(names.map((table) => [table, all.filter((column) => column.table === table)]));
  const row = (table: string, growerId: string, family: number): Row => {
    const made: Record<string, unknown> = {};
    for (const column of byTable.get(table) ?? []) {
      const value = columnValue(column, keys, growerId, family);
      if (value !== undefined) made[column.name] = value;
    }
    return made;
  };
  return { tables: names, keys, row };
}

function columnValue(column: Column, keys: readonly ForeignKey[], growerId: string, family: number): unknown {
  const particular = PARTICULAR[`${column.table}.${column.name}`];
  const isParent = typeof particular === 'string' && OPTIONAL_PARENTS.includes(particular);
  if (particular !== undefined && !isParent) return particular;
  if (!isParent && (!column.required || column.defaulted)) return undefined;
  return column.name === 'grower_id'
    ? growerId
    : ownValue(column, keys, particular === 'other-parent' ? family + LENT : family);
}

/** A child's column has its parent's value, wherever that comes from in turn. */
function ownValue(column: Column, keys: readonly ForeignKey[], family: number): unknown {
  for (const key of keys.filter((one) => one.table === column.table)) {
    const at = key.columns.indexOf(column.name);
    const parentColumn = key.parentColumns[at];
    if (parentColumn === undefined || key.parent === column.table) continue;
    const again = keys.some((one) => one.table === key.parent && one.columns.includes(parentColumn));
    return again
      ? ownValue({ ...column, table: key.parent, name: parentColumn }, keys, family)
      : plainValue(key.parent, parentColumn, column.type, family);
  }
  return plainValue(column.table, column.name, column.type, family);
}

function plainValue(table: string, name: string, type: string, family: number): unknown {
  switch (type) {
    case 'uuid':
      return familyUuid(table, name, family);
    case 'text':
      return /hash$|^sha256$|^digest$/.test(name) ? sha256(`${table}.${name} ${family}`) : `${table} ${family}`;
    case 'bigint':
    case 'integer':
    case 'smallint':
      return family;
    case 'numeric':
    case 'double precision':
      return 1;
    case 'boolean':
      return false;
    case 'date':
      return '2026-11-25';
    case 'timestamp with time zone':
      return '2026-11-25T08:00:00Z';
    case 'jsonb':
      return '{}';
    case 'bytea':
      return Buffer.from(sha256(`${table}.${name} ${family}`), 'hex');
    default:
      throw new Error(`No test value is known for ${table}.${name} of type ${type}: add one here.`);
  }
}

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

export function familyUuid(table: string, name: string, family: number): string {
  const hex = sha256(`${table}.${name} ${family}`);
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-4${hex.slice(13, 16)}-8${hex.slice(17, 20)}-${hex.slice(20, 32)}`;
}

/** INSERT for a row, its values as parameters. */
export function insertSql(table: string, row: Row): { readonly text: string; readonly values: unknown[] } {
  const names = Object.keys(row);
  const list = names.map((name) => `"${name}"`).join(', ');
  const marks = names.map((_, at) => `$${at + 1}`).join(', ');
  return { text: `INSERT INTO ${table} (${list}) VALUES (${marks})`, values: Object.values(row) };
}

/** The row of bench_void names two entries, so the family lends it an entry of another family. */
const LENDING = { table: 'bench_void', needs: ['staff', 'device', 'bench_entry'] } as const;

/** Puts a family's row into every farm table, or into those a table needs before it can have one. */
export async function seedFamily(
  query: Query,
  rows: FarmRows,
  growerId: string,
  family: number,
  upTo: string | null = null,
): Promise<void> {
  const wanted = upTo === null ? rows.tables : ancestors(upTo, rows);
  for (const table of rows.tables.filter((name) => wanted.includes(name))) {
    if (table === LENDING.table) await seedLent(query, rows, growerId, family);
    await seedRow(query, rows, table, growerId, family);
  }
  if (upTo === LENDING.table) await seedLent(query, rows, growerId, family);
}

async function seedLent(query: Query, rows: FarmRows, growerId: string, family: number): Promise<void> {
  for (const table of LENDING.needs) await seedRow(query, rows, table, growerId, family + LENT);
}

/** Tables whose rows a table's rows point at, directly or not; not itself. */
export function ancestors(table: string, { keys }: FarmRows): string[] {
  const found = new Set<string>();
  const visit = (name: string): void => {
    for (const { parent } of keys.filter((key) => key.table === name)) {
      if (parent === 'grower' || parent === table || found.has(parent)) continue;
      found.add(parent);
      visit(parent);
    }
  };
  visit(table);
  return [...found];
}

/** Tables whose rows point at a table's rows, directly or not; not itself. */
export function descendants(table: string, rows: FarmRows): string[] {
  return rows.tables.filter((name) => name !== table && ancestors(name, rows).includes(table));
}

async function seedRow(query: Query, rows: FarmRows, table: string, growerId: string, family: number): Promise<void> {
  const { text, values } = insertSql(table, rows.row(table, growerId, family));
  await query(text, values);
}
