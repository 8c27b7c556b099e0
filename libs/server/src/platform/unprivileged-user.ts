import { execFile } from 'node:child_process';
import { chown, lstat, readdir, readFile, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { promisify } from 'node:util';
import { StartUpError } from './start-up-error.js';

/** Who a command runs as. Null ids: as ourselves. */
export interface RunAs {
  readonly uid: number | null;
  readonly gid: number | null;
  /** Put in front of the command and its arguments. */
  readonly prefix: readonly string[];
}

const AS_OURSELVES: RunAs = { uid: null, gid: null, prefix: [] };
const isRoot = (): boolean => process.getuid?.() === 0;

/**
 * PostgreSQL refuses to run as root. When we are root it runs as the system's `postgres` user, or else as `nobody`; no
 * user is ever added to the machine. Where that user could not even reach the given paths (a project below /root), it
 * is given the one capability to pass by folder permissions, with `setpriv` of util-linux.
 * @throws StartUpError `database-start-failed` when no such user exists, or it cannot reach a path and setpriv is missing.
 */
export async function runAsUnprivileged(paths: readonly string[]): Promise<RunAs> {
  if (!isRoot()) return AS_OURSELVES;
  const user = await findUser(['postgres', 'nobody']);
  const reachable = await Promise.all(paths.map((path) => canReach(path, user.uid, user.gid)));
  if (reachable.every(Boolean)) return { ...user, prefix: [] };
  return { uid: null, gid: null, prefix: await reachingPrefix(user, paths) };
}

/** Gives a folder and all in it to the user the command runs as; a folder that is theirs already is left alone. */
export async function giveFolderTo(runAs: RunAs, folder: string): Promise<void> {
  if (!isRoot()) return;
  const user = await findUser(['postgres', 'nobody']);
  if (runAs === AS_OURSELVES) return;
  await chownTree(folder, user.uid, user.gid);
}

interface User {
  readonly uid: number;
  readonly gid: number;
}

async function findUser(names: readonly string[]): Promise<User> {
  const lines = (await readFile('/etc/passwd', 'utf8').catch(() => '')).split('\n').map((line) => line.split(':'));
  for (const name of names) {
    const fields = lines.find(([candidate]) => candidate === name);
    if (fields) return { uid: Number(fields[2]), gid: Number(fields[3]) };
  }
  throw new StartUpError(
    'database-start-failed',
    `PostgreSQL will not run as root, and this system has no user named ${names.join(' or ')}: start Jarfold as an ordinary user.`,
  );
}

/** Whether a user may pass every folder on the way to a path. */
async function canReach(path: string, uid: number, gid: number): Promise<boolean> {
  for (let folder = dirname(path); ; folder = dirname(folder)) {
    const info = await stat(folder);
    const needed = info.uid === uid ? 0o100 : info.gid === gid ? 0o010 : 0o001;
    if ((info.mode & needed) === 0) return false;
    if (folder === dirname(folder)) return true;
  }
}

async function reachingPrefix({ uid, gid }: User, paths: readonly string[]): Promise<readonly string[]> {
  const capability = ['--inh-caps=+dac_override', '--ambient-caps=+dac_override'];
  const prefix = ['setpriv', `--reuid=${uid}`, `--regid=${gid}`, '--clear-groups', ...capability];
  try {
    await promisify(execFile)(prefix[0]!, [...prefix.slice(1), 'true']);
    return prefix;
  } catch (cause) {
    throw new StartUpError(
      'database-start-failed',
      `PostgreSQL will not run as root, and user ${uid} cannot reach ${paths.join(' and ')}: start Jarfold as an ordinary user, or move it and its data out of a private folder.`,
      { cause },
    );
  }
}

async function chownTree(path: string, uid: number, gid: number): Promise<void> {
  const info = await lstat(path);
  if (info.isSymbolicLink()) return;
  if (info.uid !== uid || info.gid !== gid) await chown(path, uid, gid);
  if (!info.isDirectory()) return;
  for (const name of await readdir(path)) await chownTree(join(path, name), uid, gid);
}
