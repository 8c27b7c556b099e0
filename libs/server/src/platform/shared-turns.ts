import { InTurn } from './in-turn.js';

export interface SharedWork<Work, Answer> {
  /** Does several together: all of them, or none and an error. Answers in their order. */
  together(key: string, works: readonly Work[]): Promise<readonly Answer[]>;
  alone(key: string, work: Work): Promise<Answer>;
  /** Whether an error may lie in a single one of them, so that the others deserve a try of their own. */
  isOnesOwn(error: unknown): boolean;
  sizeOf(work: Work): number;
}

interface Waiting<Work, Answer> {
  readonly work: Work;
  readonly resolve: (answer: Answer) => void;
  readonly reject: (error: unknown) => void;
}

/**
 * Lets work under one key take turns, and what has gathered while another had its turn share the next one. Twenty
 * tablets that come back in the same minute so wait for a few transactions, not for one another's.
 */
export class SharedTurns<Work, Answer> {
  readonly #turns = new InTurn();
  readonly #waiting = new Map<string, Waiting<Work, Answer>[]>();
  readonly #shared: SharedWork<Work, Answer>;
  readonly #most: number;

  /** @param most size of what shares a turn; a single work may be larger */
  constructor(shared: SharedWork<Work, Answer>, most: number) {
    this.#shared = shared;
    this.#most = most;
  }

  /** A turn for this work, shared with what waits beside it. */
  run(key: string, work: Work): Promise<Answer> {
    return new Promise((resolve, reject) => {
      this.#waiting.set(key, [...(this.#waiting.get(key) ?? []), { work, resolve, reject }]);
      // One turn for each, although an earlier one may have taken this along: then there is nothing left to do in it.
      void this.#turns.run(key, () => this.#take(key));
    });
  }

  /** A turn that is not shared. */
  runAlone<T>(key: string, work: () => Promise<T>): Promise<T> {
    return this.#turns.run(key, work);
  }

  async #take(key: string): Promise<void> {
    const taken = this.#next(key);
    if (taken.length === 0) return;
    const [only] = taken;
    if (taken.length === 1 && only) return this.#alone(key, only);
    try {
      const answers = await this.#shared.together(
        key,
        taken.map(({ work }) => work),
      );
      for (const [at, { resolve }] of taken.entries()) resolve(answers[at] as Answer);
    } catch (error) {
      if (this.#shared.isOnesOwn(error)) for (const one of taken) await this.#alone(key, one);
      else for (const { reject } of taken) reject(error);
    }
  }

  #alone(key: string, { work, resolve, reject }: Waiting<Work, Answer>): Promise<void> {
    return this.#shared.alone(key, work).then(resolve, reject);
  }

  /** As many as fit, the first that came first. */
  #next(key: string): readonly Waiting<Work, Answer>[] {
    const waiting = this.#waiting.get(key) ?? [];
    let size = 0;
    const over = waiting.findIndex(({ work }, at) => {
      size += this.#shared.sizeOf(work);
      return at > 0 && size > this.#most;
    });
    const count = over < 0 ? waiting.length : over;
    if (count === waiting.length) this.#waiting.delete(key);
    else this.#waiting.set(key, waiting.slice(count));
    return waiting.slice(0, count);
  }
}
