import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, jest } from '@jest/globals';

const COMMAND = fileURLToPath(new URL('../../apps/cli/dist/workbook.js', import.meta.url));

/** A database is made and started; seconds on a quiet machine. */
jest.setTimeout(240_000);

describe('a command that is told to end', () => {
  it('while its database starts leaves none running', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'jarfold-stopped-'));
    const lock = join(folder, 'postgres', 'postmaster.pid');
    const command = spawn(process.execPath, [COMMAND, 'export', '--out', join(folder, 'week.xlsx')], {
      env: { ...process.env, NODE_OPTIONS: '', DATABASE_URL: undefined, JARFOLD_DATA: folder },
      stdio: 'ignore',
    });
    const ended = new Promise<number | null>((settle) => command.on('exit', (code) => settle(code)));
    try {
      while (!existsSync(lock)) {
        expect(command.exitCode).toBeNull();
        await new Promise((settle) => setTimeout(settle, 20));
      }
      const server = Number((await readFile(lock, 'utf8')).split('\n')[0]);
      command.kill('SIGINT');
      expect(await ended).toBe(130);
      expect(existsSync(lock)).toBe(false);
      expect(() => process.kill(server, 0)).toThrow(/ESRCH/);
    } finally {
      command.kill('SIGKILL');
      await rm(folder, { recursive: true, force: true });
    }
  });
});
