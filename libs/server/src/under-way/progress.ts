import type { GrowerDb } from '../platform/index.js';
import { type FileTable, giveUpAfter, type Pace, tellFile } from './under-way.repository.js';

/** Somebody said stop: whatever was done in the transaction is to be undone. */
export class Stopped extends Error {
  constructor() {
    super('Somebody stopped it.');
  }
}

/** How far a long piece of work is, told by whoever does it. */
export class Progress {
  #done = 0;
  #total = 0;
  #moves = 0;
  #stopped = false;

  get now(): { readonly done: number; readonly total: number } {
    return { done: Math.min(this.#done, this.#total), total: this.#total };
  }

  /** Grows with every step: work that hangs does not move. */
  get moves(): number {
    return this.#moves;
  }

  get isStopped(): boolean {
    return this.#stopped;
  }

  expect(total: number): void {
    this.#total = total;
    this.#moves += 1;
  }

  /** @throws Stopped when it is to stop */
  step(done: number): void {
    this.#done = done;
    this.#moves += 1;
    if (this.#stopped) throw new Stopped();
  }

  stop(): void {
    this.#stopped = true;
  }
}

/** A piece of work on a stored file, as it is told of while it goes on. */
export interface Told {
  readonly growerDb: GrowerDb;
  readonly table: FileTable;
  readonly growerId: string;
  readonly id: string;
  readonly pace: Pace;
}

/**
 * Says every half second how far the work is, in transactions of their own, and hears whether it is to stop. It says so
 * as long as the work moves: a session that hangs falls silent, and is taken over.
 */
export async function tellProgress<T>(
  { growerDb, table, growerId, id, pace }: Told,
  progress: Progress,
  work: () => Promise<T>,
): Promise<T> {
  let moves = -1;
  let stillFor = 0;
  const tellOnce = async () => {
    stillFor = progress.moves === moves ? stillFor + 1 : 0;
    moves = progress.moves;
    const alive = stillFor * pace.tellEveryMs < pace.hangsAfterMs;
    const state = await growerDb.run({ growerId }, (tx) => tellFile(tx, table, growerId, id, progress.now, alive));
    if (state === 'cancelled') progress.stop();
  };
  let telling: Promise<void> = Promise.resolve();
  const timer = setInterval(() => {
    // What cannot be told now is told half a second later.
    telling = telling.then(tellOnce).catch(() => {});
  }, pace.tellEveryMs);
  try {
    return await work();
  } finally {
    clearInterval(timer);
    await telling;
  }
}

/**
 * After a fault of the work: says it to whoever waits, and after too many that it is over.
 * @returns whether the work was given up; false also when that cannot be said now, since the database may be what is missing
 */
export async function saidThatItFailed(
  { growerDb, table, growerId, id, pace }: Told,
  says: { readonly again: string; readonly over: string },
): Promise<boolean> {
  try {
    return await growerDb.run({ growerId }, (tx) => giveUpAfter(tx, table, growerId, id, pace, says));
  } catch {
    return false;
  }
}
