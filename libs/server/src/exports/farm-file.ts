import { createHash } from 'node:crypto';
import { canonicalJson } from '@jarfold/domain';
import { z } from 'zod';
import { AppError } from '../platform/index.js';
import { FARM_TABLES, type FarmRow } from './farm-tables.repository.js';

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

/** What the first line of a farm's file says. */
export type FarmHead = z.infer<typeof headSchema>;
export type FarmLine = z.infer<typeof lineSchema>;

const PEOPLE: ReadonlySet<string> = new Set(['staff', 'staff_name']);

/** One line of JSON for the head, then one for each row. */
export function* farmLines({ tables, ...head }: WholeFarm): Generator<string> {
  const counts = Object.fromEntries(Object.entries(tables).map(([table, rows]) => [table, rows.length]));
  yield JSON.stringify({ ...head, counts });
  for (const [table, rows] of Object.entries(tables)) for (const row of rows) yield JSON.stringify({ table, row });
}

export function stateHash(tables: Readonly<Record<string, readonly FarmRow[]>>): string {
  const hash = createHash('sha256');
  for (const table of FARM_TABLES) {
    if (PEOPLE.has(table)) continue;
    const lines = (tables[table] ?? []).map((row) => canonicalJson(row)).sort();
    hash.update(`${table} ${lines.length}\n${lines.join('\n')}\n`);
  }
  return hash.digest('hex');
}

/** @throws AppError `rule-refused` */
export function parsedHead(text: string): FarmHead {
  const head = headSchema.safeParse(json(text, 1));
  if (!head.success) throw refusedLine(1, `It does not begin as a farm of the kind ${FARM_FORMAT}.`);
  return head.data;
}

/** @throws AppError `rule-refused` */
export function parsedLine(text: string, number: number): FarmLine {
  const line = lineSchema.safeParse(json(text, number));
  if (!line.success) throw refusedLine(number, 'It is no row of a farm.');
  return line.data;
}

export const refusedLine = (line: number, what: string) =>
  new AppError('rule-refused', `Line ${line} of the file: ${what} Nothing was brought in.`);

function json(text: string, line: number): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw refusedLine(line, 'It is not JSON.');
  }
}
