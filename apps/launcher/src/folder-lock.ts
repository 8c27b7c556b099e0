import { closeSync, mkdirSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { StartUpError } from '@jarfold/server/platform';

export interface FolderLock {
  release(): void;
}

/**
 * Makes sure that one launcher at a time works on a data folder. The lock names the process that holds it; a lock whose
 * process is gone (kill -9, power cut) is taken over.
 * @throws StartUpError when another launcher is alive, or the folder cannot be written.
 */
export function lockFolder(folder: string, address: string): FolderLock {
  const path = join(folder, 'launcher.lock');
  try {
    mkdirSync(folder, { recursive: true, mode: 0o755 });
  } catch (error) {
    throw new StartUpError(
      'folder-not-writable',
      `The data folder ${folder} cannot be made (${reason(error)}): set JARFOLD_DATA to a folder you may write to.`,
    );
  }
  for (let attempt = 0; attempt < 3; attempt += 1) {
    try {
      const file = openSync(path, 'wx', 0o600);
      writeSync(file, JSON.stringify({ pid: process.pid, startTicks: startTicks(process.pid), address }));
      closeSync(file);
      return { release: () => rmSync(path, { force: true }) };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') {
        throw new StartUpError(
          'folder-not-writable',
          `The data folder ${folder} cannot be written (${reason(error)}): set JARFOLD_DATA to a folder you may write to.`,
        );
      }
      const holder = readHolder(path);
      if (holder && isAlive(holder)) {
        throw new StartUpError(
          'data-folder-locked',
          `Jarfold is already running on the data folder ${folder} (process ${holder.pid}, ${holder.address}): open that address, or stop it first.`,
        );
      }
      rmSync(path, { force: true });
    }
  }
  throw new StartUpError(
    'data-folder-locked',
    `The data folder ${folder} is being started by another process right now: wait a moment and try again.`,
  );
}

interface Holder {
  readonly pid: number;
  readonly startTicks: string | null;
  readonly address: string;
}

function readHolder(path: string): Holder | null {
  try {
    const holder = JSON.parse(readFileSync(path, 'utf8')) as Holder;
    return Number.isInteger(holder.pid) && holder.pid > 0 ? holder : null;
  } catch {
    return null;
  }
}

/** A process id can be given again after a restart of the machine: where the system tells its start time, compare it. */
function isAlive({ pid, startTicks: recorded }: Holder): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
  const now = startTicks(pid);
  return recorded === null || now === null || recorded === now;
}

function startTicks(pid: number): string | null {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    // The command name stands in parentheses and may hold spaces: count fields behind it. Field 22 is the start time.
    return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null;
  } catch {
    return null;
  }
}

const reason = (error: unknown): string => (error as NodeJS.ErrnoException).code ?? (error as Error).message;
