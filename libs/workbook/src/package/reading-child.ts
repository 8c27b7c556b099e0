/**
 * The process that opens files from outside: bytes on standard input, one JSON answer on standard output. It is started
 * with a small heap and killed when it takes too long, so that the worst a file can do is to end this process.
 */
import { buffer } from 'node:stream/consumers';
import { packCells } from '../cells/packed-cells.js';
import { UnreadableWorkbook } from '../problem.js';
import type { WorkbookLimits } from './limits.js';
import { readCells } from './read-cells.js';

const limits = JSON.parse(process.argv[2] ?? '') as WorkbookLimits;
const bytes = await buffer(process.stdin);
try {
  process.stdout.write(JSON.stringify({ cells: packCells(await readCells(bytes, limits)) }));
} catch (error) {
  if (!(error instanceof UnreadableWorkbook)) throw error;
  process.stdout.write(JSON.stringify({ problem: error.problem }));
}
