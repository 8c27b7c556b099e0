import { log } from '@jarfold/server/platform';

const DEADLINE_MS = 10_000;

/**
 * Stops once on SIGTERM or SIGINT: no new connections, what is in flight finishes, then exit code 0. A second signal
 * changes nothing. Past the deadline the process leaves with 1; whatever was not committed was not acknowledged either.
 */
export function stopOnSignals(stop: () => Promise<void>): void {
  let stopping = false;
  const onSignal = (signal: NodeJS.Signals) => {
    if (stopping) return;
    stopping = true;
    log.info('stopping', { signal });
    setTimeout(() => process.exit(1), DEADLINE_MS).unref();
    stop().then(
      () => process.exit(0),
      (error: unknown) => {
        log.error('stopping failed', { error });
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', onSignal);
  process.on('SIGINT', onSignal);
}
