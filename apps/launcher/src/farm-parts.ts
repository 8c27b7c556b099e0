import { StartUpError } from '@jarfold/server/platform';
import { type KeptProcess, keepAlive } from './child-processes.js';

export const PARTS = ['api', 'worker'] as const;
type PartName = (typeof PARTS)[number];
type Env = Readonly<Record<string, string>>;

/**
 * The API and the worker. They are started ahead of their turn, because reading their code is most of their start, and
 * each begins its work on a word.
 */
export function farmParts(env: Env, stopping: AbortSignal) {
  const told = { api: deferred<Env>(), worker: deferred<Env>() };
  const givenUp = deferred<never>();
  const onGivenUp = (sentence: string): void => givenUp.reject(new StartUpError('process-ended', sentence));
  const kept = new Map<PartName, KeptProcess>();
  /** Does nothing the second time. */
  const start = (name: PartName): void => {
    if (!kept.has(name)) kept.set(name, keepAlive({ name, env, begin: told[name].promise, stopping, onGivenUp }));
  };
  return {
    start,
    /**
     * Starts the part where that was not done ahead. Does nothing the second time.
     * @param known what the part must know beside what it was started with
     */
    begin: (name: PartName, known: Env): void => {
      start(name);
      told[name].resolve(known);
    },
    /**
     * Resolves once all that were started are ready or have failed. Throws why the first one failed; not while everything
     * is to stop, which also ends the parts and is no failure to be told.
     */
    ready: async (): Promise<void> => {
      const ends = await Promise.allSettled([...kept.values()].map(({ ready }) => ready));
      const failed = ends.find((end) => end.status === 'rejected');
      if (failed && !stopping.aborted) throw failed.reason;
    },
    givenUp: givenUp.promise,
    stop: async (): Promise<void> => {
      await Promise.all([...kept.values()].map((part) => part.stop()));
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
