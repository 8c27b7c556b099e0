/**
 * Does work for a key one at a time, and joins requests that wait: whoever asks while work is running is answered by
 * the next round, which begins afterwards and therefore sees everything that had changed by then. A hundred requests
 * during one round make one more round.
 */
export class OneAtATime<Result> {
  private readonly running = new Map<string, Promise<unknown>>();
  private readonly waiting = new Map<string, Promise<Result>>();

  do(key: string, work: () => Promise<Result>): Promise<Result> {
    const joined = this.waiting.get(key);
    if (joined) return joined;
    const before = this.running.get(key);
    if (before === undefined) return this.start(key, work);
    const next = before.then(() => {
      this.waiting.delete(key);
      return this.start(key, work);
    });
    this.waiting.set(key, next);
    return next;
  }

  private start(key: string, work: () => Promise<Result>): Promise<Result> {
    const result = work();
    const settled = result.then(ignore, ignore).finally(() => {
      if (this.running.get(key) === settled) this.running.delete(key);
    });
    this.running.set(key, settled);
    return result;
  }
}

const ignore = () => undefined;
