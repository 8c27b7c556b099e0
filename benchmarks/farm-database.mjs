/** A packaged PostgreSQL with its usual, durable settings for a benchmark, and what it costs in processor time. */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import {
  createLog,
  migrate,
  openPlatform,
  platformEnvSchema,
  startEmbeddedPostgres,
} from '../libs/server/dist/platform/index.js';

/**
 * Calls work with a migrated database, and takes it away afterwards: `url` for other processes, `platform` as servers
 * open it, `superuser` for
 * seeding past the rules, `sql(text, values)` through it, and `databaseCpuMs()`, the processor time of the database's
 * processes so far (0 where the system does not tell).
 */
export async function withFarmDatabase(work) {
  const dataDir = await mkdtemp(join(tmpdir(), 'jarfold-benchmark-'));
  const server = await startEmbeddedPostgres({ dataDir });
  try {
    const settings = { DATABASE_URL: server.ownerUrl };
    await migrate(settings);
    const superuser = new pg.Client({ connectionString: server.superuserUrl.replace(/postgres$/, 'jarfold') });
    await superuser.connect();
    const platform = await openPlatform(platformEnvSchema.parse(settings), {
      applicationName: 'jarfold-benchmark',
      log: createLog({ level: 'error' }),
    });
    try {
      const sql = (text, values) => superuser.query(text, values);
      return await work({
        url: server.ownerUrl,
        sql,
        superuser,
        platform,
        databaseCpuMs: () => databaseCpuMs(dataDir),
      });
    } finally {
      await platform.close();
      await superuser.end();
    }
  } finally {
    await server.stop();
    await rm(dataDir, { recursive: true, force: true });
  }
}

async function databaseCpuMs(dataDir) {
  const pid = (await readFile(join(dataDir, 'postgres', 'postmaster.pid'), 'utf8')).split('\n')[0];
  const processes = (await readdir('/proc').catch(() => [])).filter((name) => /^\d+$/.test(name));
  let ticks = 0;
  for (const name of processes) {
    const stat = await readFile(`/proc/${name}/stat`, 'utf8').catch(() => '');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' '); // the third field onwards: state, parent, …
    if (fields[1] === pid) ticks += Number(fields[11]) + Number(fields[12]);
  }
  return ticks * 10;
}
