/** Work done one after another: an entry is decided on the state the one before has left. */
export class OneAtATime {
  #last: Promise<unknown> = Promise.resolve();

  /** Does the work once everything asked for earlier has come to an end, well or badly. */
  inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#last.then(work, work);
    this.#last = turn.catch(() => undefined);
    return turn;
  }
}
