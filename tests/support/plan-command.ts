import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly output: string;
  readonly errors: string;
}

/** Runs a program and waits for its end. */
export async function run(
  command: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<Ended> {
  const child = spawn(command, [...args], {
    cwd: root,
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const code = new Promise<number | null>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', resolve);
  });
  const [output, errors, ended] = await Promise.all([text(child.stdout), text(child.stderr), code]);
  return { code: ended, output, errors };
}

/** The plan command as it is built, without npm in between. */
export const planCommand = (args: readonly string[], env: Readonly<Record<string, string>> = {}): Promise<Ended> =>
  run(process.execPath, [join(root, 'apps/cli/dist/plan.js'), ...args], env);

/** A folder for one test file, and how to be rid of it. */
export async function temporaryFolder(): Promise<{
  readonly path: (name: string) => string;
  readonly remove: () => Promise<void>;
}> {
  const folder = await mkdtemp(join(tmpdir(), 'jarfold-plan-'));
  return { path: (name) => join(folder, name), remove: () => rm(folder, { recursive: true, force: true }) };
}
