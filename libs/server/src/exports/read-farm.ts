import type { GrowerTx } from '../platform/index.js';
import type { Progress } from '../under-way/index.js';
import { countRows, FARM_TABLES, type FarmRow, readTable } from './farm-tables.repository.js';

/** All rows of a farm, table by table. @param progress told after each table */
export async function readTables(
  tx: GrowerTx,
  growerId: string,
  progress?: Progress,
): Promise<Record<string, FarmRow[]>> {
  const tables: Record<string, FarmRow[]> = {};
  let done = 0;
  for (const table of FARM_TABLES) {
    const rows = await readTable(tx, growerId, table);
    tables[table] = rows;
    done += rows.length;
    progress?.step(done);
  }
  return tables;
}

export async function countTables(tx: GrowerTx, growerId: string): Promise<number> {
  let sum = 0;
  for (const table of FARM_TABLES) sum += await countRows(tx, growerId, table);
  return sum;
}
