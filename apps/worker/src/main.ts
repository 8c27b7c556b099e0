import 'reflect-metadata';
import {
  launcherWord,
  loadEnv,
  log,
  openPlatform,
  openQueues,
  StartUpError,
  stopOnSignals,
  systemClock,
} from '@jarfold/server/platform';
import { NestFactory } from '@nestjs/core';
import { workerEnvSchema } from './settings.js';
import { workerModule } from './worker.module.js';

/** Longer than a plan takes; whatever is cut off is taken over by another worker. */
const STOP_DEADLINE_MS = 15_000;

/** Starts a worker: `node apps/worker/dist/main.js`. The database must have been migrated. Any number may run. */
async function main(): Promise<void> {
  await launcherWord();
  const env = loadEnv(workerEnvSchema);
  const platform = await openPlatform(env, { applicationName: 'jarfold-worker', log });
  const queues = openQueues(env, log);
  const parts = { env, platform, queues, clock: systemClock, log };
  const app = await NestFactory.createApplicationContext(workerModule(parts), { logger: false, abortOnError: false });
  // A parent process that started us may wait for this.
  process.send?.({ kind: 'ready' });
  stopOnSignals(async () => {
    await app.close();
    await platform.close();
  }, STOP_DEADLINE_MS);
}

try {
  await main();
} catch (error) {
  const explained = error instanceof StartUpError ? error.message : ((error as Error).stack ?? String(error));
  process.stderr.write(`${explained}\n`);
  process.exit(1);
}
