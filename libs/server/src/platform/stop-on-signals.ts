import { log } from './log.js';

/**
 * Stops a process once: on SIGTERM, on SIGINT, or when the launcher that started it is gone (kill -9), because a part
 * must not outlive the whole. What is in flight finishes, then exit code 0; a second signal changes nothing. Past the
 * deadline the process leaves with 1; whatever was not committed was not acknowledged either.
 * @param deadlineMs longer than what is in flight takes
 */
export function stopOnSignals(stop: () => Promise<void>, deadlineMs: number): void {
  let stopping = false;
  const onWish = (reason: string) => {
    if (stopping) return;
    stopping = true;
    log.info('stopping', { reason });
    setTimeout(() => process.exit(1), deadlineMs).unref();
    stop().then(
      () => process.exit(0),
      (error: unknown) => {
        log.error('stopping-failed', { error });
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', onWish);
  process.on('SIGINT', onWish);
  if (process.send === undefined) return; // started by hand: there is no launcher to lose
  process.on('disconnect', () => onWish('the launcher is gone'));
  if (!process.connected) onWish('the launcher is gone');
}
