import { StartUpError } from '@jarfold/server/platform';
import { type KeptProcess, keepAlive } from './child-processes.js';

/**
 * The API and the worker. They are started before the database is, because reading their code is most of their start, and
 * begin their work on a word.
 */
export function farmParts(env: Readonly<Record<string, string>>, stopping: AbortSignal) {
  const told = deferred<Record<string, string>>();
  const givenUp = deferred<never>();
  const onGivenUp = (sentence: string): void => givenUp.reject(new StartUpError('process-ended', sentence));
  let kept: readonly KeptProcess[] = [];
  return {
    start: (): void => {
      kept = (['api', 'worker'] as const).map((name) =>
        keepAlive({ name, env, begin: told.promise, stopping, onGivenUp }),
      );
    },
    begin: told.resolve,
    /** Resolves once all are ready or have failed, with why the first one failed. */
    ready: async (): Promise<unknown> => {
      const ends = await Promise.allSettled(kept.map(({ ready }) => ready));
      return ends.find((end) => end.status === 'rejected')?.reason;
    },
    givenUp: givenUp.promise,
    stop: async (): Promise<void> => {
      await Promise.all(kept.map((part) => part.stop()));
    },
  };
}

function deferred<T>() {
  let resolve: (value: T) => void = () => undefined;
  let reject: (reason: Error) => void = () => undefined;
  const promise = new Promise<T>((onValue, onError) => {
    resolve = onValue;
    reject = onError;
  });
  promise.catch(() => undefined); // looked at in its turn; before that it must not count as unhandled
  return { promise, resolve, reject };
}
