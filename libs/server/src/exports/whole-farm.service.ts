import { createHash } from 'node:crypto';
import { canonicalJson } from '@jarfold/domain';
import { z } from 'zod';
import { lockFarm, readSettings } from '../farm/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { FARM_TABLES, type FarmRow, isEmptyFarm, readTable, renameFarm, writeTable } from './farm-tables.repository.js';

export const FARM_FORMAT = 'jarfold-farm/1';

/** A whole farm: everything that was told and everything that follows from it, without secrets. */
export interface WholeFarm {
  readonly format: typeof FARM_FORMAT;
  readonly madeAt: string;
  readonly farm: { readonly name: string; readonly timeZone: string; readonly locale: string };
  /** SHA-256, hex, of all rows but those of people: they differ by who brought the farm in. */
  readonly stateHash: string;
  readonly tables: Readonly<Record<string, readonly FarmRow[]>>;
}

const headSchema = z.strictObject({
  format: z.literal(FARM_FORMAT),
  madeAt: z.iso.datetime(),
  farm: z.strictObject({
    name: z.string().min(1).max(200),
    timeZone: z.string().min(1).max(64),
    locale: z.string().min(1).max(35),
  }),
  stateHash: z.string().regex(/^[0-9a-f]{64}$/),
  counts: z.record(z.string(), z.number().int().min(0)),
});
const lineSchema = z.strictObject({
  table: z.enum(FARM_TABLES),
  row: z.record(z.string().regex(/^[a-z_]{1,60}$/), z.unknown()),
});

const CHUNK = 500;
/** A year of a large farm is some hundred thousand rows. */
const LIMIT_MS = 600_000;
const PEOPLE: ReadonlySet<string> = new Set(['staff', 'staff_name']);

/** Nobody is locked in: a whole farm out as lines of JSON, and into an empty one again. */
export class WholeFarmService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async read(ctx: GrowerContext): Promise<WholeFarm> {
    const madeAt = this.clock.now().toISOString();
    return this.growerDb.read(ctx, async (tx) => {
      const { name, timeZone } = await readSettings(tx, ctx.growerId);
      const tables = await allTables(tx, ctx.growerId);
      const farm = { name, timeZone, locale: 'en' };
      return { format: FARM_FORMAT, madeAt, farm, stateHash: stateHash(tables), tables };
    });
  }

  /**
   * Puts a whole farm into an empty one: all of it, or on any error nothing.
   * @param onProgress rows written and rows in all, now and then
   * @throws AppError `conflict` for a farm that is not empty; `rule-refused` for a file that is none, is cut short, or
   * does not come out as the state it says
   */
  async bringIn(
    ctx: GrowerContext,
    lines: readonly string[],
    onProgress: (done: number, total: number) => void = () => undefined,
  ): Promise<{ readonly rows: number; readonly stateHash: string }> {
    const whole = parsedFarm(lines);
    const total = Object.values(whole.tables).reduce((sum, rows) => sum + rows.length, 0);
    return this.growerDb.run(
      ctx,
      async (tx) => {
        await lockFarm(tx, ctx.growerId);
        if (!(await isEmptyFarm(tx, ctx.growerId))) {
          throw new AppError('conflict', 'This farm is not empty: a whole farm goes into a new one only.');
        }
        await renameFarm(tx, ctx.growerId, whole.farm);
        let done = 0;
        for (const table of FARM_TABLES) {
          const rows = whole.tables[table] ?? [];
          for (let from = 0; from < rows.length; from += CHUNK) {
            await writeTable(tx, ctx.growerId, table, rows.slice(from, from + CHUNK));
            done += Math.min(CHUNK, rows.length - from);
            onProgress(done, total);
          }
        }
        const now = stateHash(await allTables(tx, ctx.growerId));
        if (now !== whole.stateHash) {
          throw new AppError(
            'rule-refused',
            'The farm would not come out as the file says, so nothing was brought in.',
          );
        }
        return { rows: total, stateHash: now };
      },
      { timeoutMs: LIMIT_MS },
    );
  }
}

/** One line of JSON for the head, then one for each row. */
export function* farmLines({ tables, ...head }: WholeFarm): Generator<string> {
  const counts = Object.fromEntries(Object.entries(tables).map(([table, rows]) => [table, rows.length]));
  yield JSON.stringify({ ...head, counts });
  for (const [table, rows] of Object.entries(tables)) for (const row of rows) yield JSON.stringify({ table, row });
}

async function allTables(tx: GrowerTx, growerId: string): Promise<Record<string, FarmRow[]>> {
  const tables: Record<string, FarmRow[]> = {};
  for (const table of FARM_TABLES) tables[table] = await readTable(tx, growerId, table);
  return tables;
}

function stateHash(tables: Readonly<Record<string, readonly FarmRow[]>>): string {
  const hash = createHash('sha256');
  for (const table of FARM_TABLES) {
    if (PEOPLE.has(table)) continue;
    const lines = (tables[table] ?? []).map((row) => canonicalJson(row)).sort();
    hash.update(`${table} ${lines.length}\n${lines.join('\n')}\n`);
  }
  return hash.digest('hex');
}

function parsedFarm(lines: readonly string[]): Pick<WholeFarm, 'farm' | 'stateHash' | 'tables'> {
  const head = headSchema.safeParse(json(lines[0] ?? '', 1));
  if (!head.success) throw refused(1, `It does not begin as a farm of the kind ${FARM_FORMAT}.`);
  const tables: Record<string, FarmRow[]> = {};
  for (let at = 1; at < lines.length; at++) {
    const text = lines[at] ?? '';
    if (text.trim() === '') continue;
    const line = lineSchema.safeParse(json(text, at + 1));
    if (!line.success) throw refused(at + 1, 'It is no row of a farm.');
    const { table, row } = line.data;
    const rows = tables[table] ?? [];
    rows.push(row);
    tables[table] = rows;
  }
  for (const [table, count] of Object.entries(head.data.counts)) {
    const found = tables[table]?.length ?? 0;
    if (found !== count)
      throw refused(lines.length, `The file is cut short: ${found} of ${count} rows of ${table} are there.`);
  }
  return { farm: head.data.farm, stateHash: head.data.stateHash, tables };
}

function json(text: string, line: number): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw refused(line, 'It is not JSON.');
  }
}

const refused = (line: number, what: string) =>
  new AppError('rule-refused', `Line ${line} of the file: ${what} Nothing was brought in.`);
