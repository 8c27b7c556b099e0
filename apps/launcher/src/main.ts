/** `npm start`: PostgreSQL, migrations, API, worker and web app in one go, and all of them stopped together. */
import { StartUpError } from '@jarfold/server/platform';
import { readArguments, USAGE } from './arguments.js';
import { startFarm } from './farm.js';
import { readSettings } from './settings.js';

const say = (line: string): void => console.log(line);

async function main(): Promise<void> {
  const wanted = readArguments(process.argv.slice(2));
  if (typeof wanted === 'string') throw new StartUpError('bad-environment', wanted);
  if (wanted.help) {
    say(USAGE);
    return;
  }
  const settings = readSettings(process.env);
  // Signals count from the first moment: Ctrl-C during a first start must leave a folder that starts again.
  const stop = new AbortController();
  const onSignal = (): void => {
    if (stop.signal.aborted) process.exit(1); // asked twice: at once
    say('\nStopping …');
    stop.abort();
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, onSignal);
  await startFarm(settings, wanted, { say, stop: stop.signal });
}

main().then(
  () => process.exit(0),
  (error: unknown) => {
    console.error(error instanceof StartUpError ? error.message : error);
    process.exit(1);
  },
);
