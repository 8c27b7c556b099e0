import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { BEGIN_WHEN_TOLD, type LauncherWord, StartUpError } from '@jarfold/server/platform';

export interface KeptProcess {
  /** Rejects with the child's own sentence (StartUpError) when it refuses to start. */
  readonly ready: Promise<void>;
  /** Safe to call twice, and before it is ready. */
  stop(): Promise<void>;
}

interface Options {
  readonly name: 'api' | 'worker';
  readonly env: Readonly<Record<string, string>>;
  /** Settles once what the part stands on is there, with what it must know of it. It reads its code meanwhile. */
  readonly begin: Promise<LauncherWord['env']>;
  /**
   * Aborted when everything is to stop. Ctrl-C reaches the whole process group, so a child may end by itself before its
   * turn to be stopped has come: that is no death to start it again for.
   */
  readonly stopping: AbortSignal;
  /** Called when the process cannot be kept alive: the launcher then stops everything. */
  readonly onGivenUp: (sentence: string) => void;
}

const RESTARTS_PER_MINUTE = 5;
/** Longer than the children's own time for finishing what is in flight. */
const STOP_DEADLINE_MS = 20_000;

/**
 * Starts the API or the worker as a process of its own and keeps it alive: when it dies (kill -9, out of memory) after it
 * was ready it is started again, unless it dies again and again.
 */
export function keepAlive(options: Options): KeptProcess {
  const state = { stopped: false, child: null as ChildProcess | null, deaths: [] as number[] };
  const isStopping = (): boolean => state.stopped || options.stopping.aborted;

  const startAgain = (): void => {
    if (isStopping()) return;
    const now = Date.now();
    state.deaths = [...state.deaths.filter((at) => now - at < 60_000), now];
    if (state.deaths.length > RESTARTS_PER_MINUTE) {
      options.onGivenUp(
        `The ${options.name} process died ${state.deaths.length} times within a minute: see its messages above.`,
      );
      return;
    }
    process.stderr.write(`The ${options.name} process died and is started again.\n`);
    startOnce(options, state).then(watch, (error: Error) => {
      if (isStopping()) return;
      process.stderr.write(`${error.message}\n`);
      setTimeout(startAgain, 1000);
    });
  };
  const watch = (child: ChildProcess): void => {
    child.once('exit', startAgain);
  };

  const ready = startOnce(options, state).then(watch);
  ready.catch(() => undefined); // looked at in its turn; before that it must not count as unhandled
  return {
    ready,
    stop: async () => {
      state.stopped = true;
      if (state.child) await stopChild(state.child);
    },
  };
}

function startOnce({ name, env, begin }: Options, state: { child: ChildProcess | null }): Promise<ChildProcess> {
  const entry = fileURLToPath(new URL(`../../${name}/dist/main.js`, import.meta.url));
  const child = fork(entry, [], {
    env: { ...process.env, ...env, [BEGIN_WHEN_TOLD]: '1' },
    stdio: ['ignore', 'inherit', 'pipe', 'ipc'],
  });
  state.child = child;
  const tell = (word: LauncherWord): void => {
    if (child.connected) child.send(word, () => undefined); // one that just died is seen by its exit
  };
  begin.then(
    (known) => tell({ kind: 'begin', env: known }),
    () => undefined, // never told, and stopped with everything else
  );
  let lastWords = '';
  child.stderr?.on('data', (data: Buffer) => {
    lastWords = `${lastWords}${data}`.slice(-2000);
    process.stderr.write(data);
  });
  return new Promise((resolve, reject) => {
    const onExit = (code: number | null): void => {
      reject(
        new StartUpError(
          'process-ended',
          `The ${name} process ended at start (code ${code})${lastWords.trim() ? ': its reason stands above.' : '.'}`,
        ),
      );
    };
    child.once('exit', onExit);
    child.once('error', reject);
    child.once('message', () => {
      child.off('exit', onExit);
      resolve(child);
    });
  });
}

async function stopChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  child.kill('SIGTERM');
  const deadline = setTimeout(() => child.kill('SIGKILL'), STOP_DEADLINE_MS);
  await gone;
  clearTimeout(deadline);
}
