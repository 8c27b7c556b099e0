import { AppError, type GrowerTx } from '../platform/index.js';
import type { Progress } from '../under-way/index.js';
import { type FarmHead, parsedHead, parsedLine, refusedLine, stateHash } from './farm-file.js';
import { FARM_TABLES, type FarmRow, isEmptyFarm, renameFarm, writeTable } from './farm-tables.repository.js';
import { readTables } from './read-farm.js';

const CHUNK = 500;

/**
 * Puts a whole farm into an empty one, within a transaction that holds the farm's lock. Lines are taken as they come:
 * a large file is never whole in memory.
 * @throws AppError `conflict` for a farm that is not empty; `rule-refused` for a file that is none, is cut short, has its
 * tables in another order, or does not come out as the state it says; Stopped
 */
export async function bringFarmIn(
  tx: GrowerTx,
  growerId: string,
  lines: Iterable<string> | AsyncIterable<string>,
  progress: Progress,
): Promise<{ readonly rows: number; readonly stateHash: string }> {
  if (!(await isEmptyFarm(tx, growerId))) {
    throw new AppError('conflict', 'This farm is not empty: a whole farm goes into a new one only.');
  }
  const { head, rows } = await writeLines(tx, growerId, lines, progress);
  const now = stateHash(await readTables(tx, growerId));
  if (now !== head.stateHash) {
    throw new AppError('rule-refused', 'The farm would not come out as the file says, so nothing was brought in.');
  }
  return { rows, stateHash: now };
}

async function writeLines(
  tx: GrowerTx,
  growerId: string,
  lines: Iterable<string> | AsyncIterable<string>,
  progress: Progress,
): Promise<{ readonly head: FarmHead; readonly rows: number }> {
  let head: FarmHead | null = null;
  let number = 0;
  let done = 0;
  let table = '';
  let rows: FarmRow[] = [];
  const found = new Map<string, number>();
  const flush = async () => {
    if (rows.length === 0) return;
    await writeTable(tx, growerId, table, rows);
    done += rows.length;
    rows = [];
    progress.step(done);
  };
  for await (const text of lines) {
    number += 1;
    if (head === null) {
      head = parsedHead(text);
      progress.expect(Object.values(head.counts).reduce((sum, count) => sum + count, 0));
      await renameFarm(tx, growerId, head.farm);
      continue;
    }
    if (text.trim() === '') continue;
    const line = parsedLine(text, number);
    if (line.table !== table) {
      await flush();
      if (orderOf(line.table) < orderOf(table)) throw refusedLine(number, `Rows of ${line.table} stand too late.`);
      table = line.table;
    }
    rows.push(line.row);
    found.set(table, (found.get(table) ?? 0) + 1);
    if (rows.length === CHUNK) await flush();
  }
  await flush();
  if (head === null) throw refusedLine(1, 'The file is empty.');
  requireAll(head, found, number);
  return { head, rows: done };
}

const orderOf = (table: string) => (FARM_TABLES as readonly string[]).indexOf(table);

function requireAll({ counts }: FarmHead, found: ReadonlyMap<string, number>, lines: number): void {
  for (const [table, count] of Object.entries(counts)) {
    const here = found.get(table) ?? 0;
    if (here === count) continue;
    throw refusedLine(lines, `The file is cut short: ${here} of ${count} rows of ${table} are there.`);
  }
}
