/**
 * Lets work under one key run one after another within this process. A farm's tablets that all send at once would
 * otherwise each hold a database connection while they wait for the farm's lock, and leave none for other farms. The
 * lock in the database still rules between processes.
 */
export class InTurn {
  readonly #tails = new Map<string, Promise<unknown>>();

  run<T>(key: string, work: () => Promise<T>): Promise<T> {
    const before = this.#tails.get(key) ?? Promise.resolve();
    const turn = before.then(work, work);
    const tail: Promise<void> = turn.then(
      () => this.#leave(key, tail),
      () => this.#leave(key, tail),
    );
    this.#tails.set(key, tail);
    return turn;
  }

  #leave(key: string, tail: Promise<void>): void {
    if (this.#tails.get(key) === tail) this.#tails.delete(key);
  }
}
