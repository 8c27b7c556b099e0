import { StartUpError } from '@jarfold/server/platform';
import { type KeptProcess, keepAlive } from './child-processes.js';

type PartName = 'api' | 'worker';
type Env = Readonly<Record<string, string>>;

/**
 * The API and the worker. They are started ahead of their turn, because reading their code is most of their start, and
 * each begins its work on a word.
 */
export function farmParts(env: Env, stopping: AbortSignal) {
  const told = { api: deferred<Env>(), worker: deferred<Env>() };
  const givenUp = deferred<never>();
  const onGivenUp = (sentence: string): void => givenUp.reject(new StartUpError('process-ended', sentence));
  let kept: readonly KeptProcess[] = [];
  return {
    /** Does nothing the second time. */
    start: (): void => {
      if (kept.length > 0) return;
      kept = (['api', 'worker'] as const).map((name) =>
        keepAlive({ name, env, begin: told[name].promise, stopping, onGivenUp }),
      );
    },
    /**
     * Does nothing the second time.
     * @param known what the part must know beside what it was started with
     */
    begin: (name: PartName, known: Env): void => told[name].resolve(known),
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
