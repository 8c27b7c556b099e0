import { launcherWord, loadEnv, log, openPlatform, StartUpError, stopOnSignals } from '@jarfold/server/platform';
import { createApp } from './create-app.js';
import { apiSettings } from './settings.js';

/** Longer than any request is allowed to take. */
const STOP_DEADLINE_MS = 10_000;

/** Starts the HTTP edge alone: `node apps/api/dist/main.js`. The database must have been migrated. */
async function main(): Promise<void> {
  await launcherWord();
  const settings = apiSettings(process.env);
  const platform = await openPlatform(loadEnv(), { applicationName: 'jarfold-api', log });
  const api = await createApp({ platform, settings });
  const address = await api.listen(settings);
  log.info('listening', { address });
  // A parent process that started us may wait for this instead of polling /readyz.
  process.send?.({ kind: 'listening', address });
  stopOnSignals(async () => {
    await api.app.close();
    await platform.close();
  }, STOP_DEADLINE_MS);
}

/** One sentence for what a person can put right, the whole error for what only we can. */
function explain(error: unknown): string {
  if (error instanceof StartUpError) return error.message;
  const { code, address, port } = error as NodeJS.ErrnoException & { address?: string; port?: number };
  if (code === 'EADDRINUSE') {
    return `Port ${port} on ${address} is in use: stop what holds it, or set PORT to another one.`;
  }
  if (code === 'EACCES') return `Port ${port} may not be opened by this user: set PORT to one above 1023.`;
  if (code === 'EADDRNOTAVAIL') return `This machine has no address ${address}: set HOST to one it has.`;
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}

try {
  await main();
} catch (error) {
  process.stderr.write(`${explain(error)}\n`);
  process.exit(1);
}
