import type { KeptBench } from './kept-bench.js';
import type { OneAtATime } from './one-at-a-time.js';
import type { CorePorts } from './ports.js';
import type { Puller } from './puller.js';
import type { SendRound } from './send-round.js';
import type { ServerStanding } from './server-standing.js';

const SENDER_LOCK = 'jarfold-bench-sender';
const POLL_MS = 15_000;
/**
 * What was saved is told and drawn before the sending of it takes a slow tablet's time, and of a few quick taps the later
 * ones do not meet the sending of the first.
 */
const SOON_MS = 300;
/** Another window of this tablet is sending. */
const LOCK_HELD_MS = 2_000;

export interface LoopParts {
  readonly ports: Pick<CorePorts, 'lock' | 'schedule' | 'report'>;
  readonly kept: KeptBench;
  readonly standing: ServerStanding;
  readonly turns: OneAtATime;
  readonly newRound: () => SendRound;
  readonly puller: Puller;
  readonly tell: () => void;
}

/** Decides when this tablet sends and asks: one run at a time, and after each the wait that its end calls for. */
export class SyncLoop {
  readonly #parts: LoopParts;
  #running: Promise<void> | null = null;
  #again = false;
  #soon = false;
  #exchanging = false;
  #closed = false;
  #cancelTimer: () => void = () => undefined;

  constructor(parts: LoopParts) {
    this.#parts = parts;
  }

  get exchanging(): boolean {
    return this.#exchanging;
  }

  /** Runs after a while, and not at whatever moment was planned before. */
  wake(delayMs: number): void {
    this.#soon = false;
    this.#cancelTimer();
    if (this.#closed) return;
    this.#cancelTimer = this.#parts.ports.schedule.after(delayMs, () => void this.#run());
  }

  /** There is something to send: runs soon, or once more after the run that goes on. */
  nudge(): void {
    this.#again = this.#running !== null;
    // Whoever goes on tapping does not put it off.
    if (this.#running || this.#soon || !this.#parts.standing.mayTry()) return;
    this.wake(SOON_MS);
    this.#soon = !this.#closed;
  }

  /** Runs now, however often it failed before. Resolves when the run came to an end, well or badly. */
  async runNow(): Promise<void> {
    this.#parts.standing.forgetFailures();
    this.#cancelTimer();
    await this.#run();
  }

  close(): void {
    this.#closed = true;
    this.#cancelTimer();
  }

  #run(): Promise<void> {
    if (this.#running) {
      this.#again = true;
      return this.#running;
    }
    this.#soon = false;
    this.#running = this.#sync().finally(() => {
      this.#running = null;
      if (this.#again) {
        this.#again = false;
        this.wake(SOON_MS);
      }
    });
    return this.#running;
  }

  async #sync(): Promise<void> {
    if (this.#closed) return;
    const { ports, standing } = this.#parts;
    this.#tellExchanging(true);
    const waitMs = await ports.lock
      .tryHold(SENDER_LOCK, () => this.#exchange())
      .catch((fault: unknown) => {
        ports.report?.(fault);
        return standing.failed();
      });
    this.#tellExchanging(false);
    this.wake(waitMs === 'held' ? LOCK_HELD_MS : waitMs);
  }

  #tellExchanging(exchanging: boolean): void {
    this.#exchanging = exchanging;
    this.#parts.tell();
  }

  /** Sends everything, then asks what is new. Answers how long to wait before the next time, milliseconds. */
  async #exchange(): Promise<number> {
    const { kept, turns, newRound, puller, standing } = this.#parts;
    await turns.inTurn(() => kept.refreshOwn());
    const round = newRound();
    for (let batch = round.next(); batch.length > 0; batch = round.next()) {
      const waitMs = await round.send(batch);
      if (waitMs !== null) return waitMs;
      if (this.#closed) return POLL_MS;
    }
    // Only now: an entry whose answer was lost may already be in the server's picture, and would be shown twice.
    const waitMs = await puller.pull();
    if (waitMs !== null) return waitMs;
    standing.forgetFailures();
    return POLL_MS;
  }
}
