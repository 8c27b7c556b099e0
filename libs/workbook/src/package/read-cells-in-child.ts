import { spawn } from 'node:child_process';
import { text } from 'node:stream/consumers';
import { fileURLToPath } from 'node:url';
import type { WorkbookCells } from '../cells/cell.js';
import { type PackedWorkbook, unpackCells } from '../cells/packed-cells.js';
import { UnreadableWorkbook, unreadable, type WorkbookProblem } from '../problem.js';
import { requireZip } from './file-kind.js';
import type { WorkbookLimits } from './limits.js';

/** The child runs the built code, also when the caller runs from source (as the tests do). */
const childPath = fileURLToPath(new URL('./reading-child.js', import.meta.url)).replace(
  /([\\/]libs[\\/]workbook[\\/])src([\\/])/,
  '$1dist$2',
);

type Answer = { readonly cells: PackedWorkbook } | { readonly problem: WorkbookProblem };

/**
 * {@link readCells} in a process of its own with a limited heap, a time limit, and nothing of this process's
 * environment.
 * @throws UnreadableWorkbook when the file cannot be read, or reading it takes too much memory or time
 */
export async function readCellsInChild(bytes: Buffer, limits: WorkbookLimits): Promise<WorkbookCells> {
  requireZip(bytes, limits);
  const answer = await askChild(bytes, limits);
  if ('problem' in answer) throw new UnreadableWorkbook(answer.problem);
  return unpackCells(answer.cells);
}

/** Cells live until the end, so a large nursery for short-lived objects only fills memory: an eighth of the peak. */
const NURSERY_MB = 4;

async function askChild(bytes: Buffer, limits: WorkbookLimits): Promise<Answer> {
  const heap = [`--max-old-space-size=${limits.heapMb}`, `--max-semi-space-size=${NURSERY_MB}`];
  const child = spawn(process.execPath, [...heap, childPath, JSON.stringify(limits)], {
    env: {},
    stdio: ['pipe', 'pipe', 'pipe'],
    timeout: limits.timeoutMs,
    killSignal: 'SIGKILL',
  });
  child.stdin.on('error', () => {}); // a child that died early closes its input; its exit tells why
  child.stdin.end(bytes);
  const exit = new Promise<{ code: number | null; signal: string | null }>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', (code, signal) => resolve({ code, signal }));
  });
  const [output, errors, { code, signal }] = await Promise.all([text(child.stdout), text(child.stderr), exit]);
  if (code === 0) return JSON.parse(output) as Answer;
  throw failure(signal, errors, limits);
}

function failure(signal: string | null, errors: string, limits: WorkbookLimits): Error {
  const advice = 'Delete sheets, rows and formatting that are not used, and save it again.';
  if (signal === 'SIGKILL') {
    return unreadable('too-large', `Reading the file took longer than ${limits.timeoutMs / 1000} seconds.`, advice);
  }
  if (/heap out of memory|heap limit/i.test(errors)) {
    return unreadable('too-large', `Reading the file took more than ${limits.heapMb} MB of memory.`, advice);
  }
  return new Error(`The process that reads workbooks failed: ${errors.trim().split('\n').slice(-8).join(' | ')}`);
}
