import { setImmediate as turn } from 'node:timers/promises';

interface Event {
  readonly atMs: number;
  readonly order: number;
  readonly run: () => void | Promise<void>;
}

/**
 * Time that passes only when something happens. Events run one after another, each to its end, so a run is the same
 * every time: what is really slow, such as the database, takes no time here.
 */
export class VirtualTime {
  nowMs: number;
  #order = 0;
  #events: Event[] = [];

  constructor(startMs: number) {
    this.nowMs = startMs;
  }

  after(delayMs: number, run: Event['run']): () => void {
    this.#order += 1;
    const event = { atMs: this.nowMs + Math.max(0, delayMs), order: this.#order, run };
    const at = this.#events.findIndex((other) => later(other, event));
    if (at < 0) this.#events.push(event);
    else this.#events.splice(at, 0, event);
    return () => {
      this.#events = this.#events.filter((other) => other !== event);
    };
  }

  /** Lets time pass until a moment, or until the condition holds after an event. Answers whether the condition held. */
  async pass(untilMs: number, holds: () => boolean = () => false): Promise<boolean> {
    for (;;) {
      const [event] = this.#events;
      if (!event || event.atMs > untilMs) break;
      this.#events.shift();
      this.nowMs = Math.max(this.nowMs, event.atMs);
      await event.run();
      await settled();
      if (holds()) return true;
    }
    this.nowMs = Math.max(this.nowMs, untilMs);
    return holds();
  }
}

const later = (a: Event, b: Event): boolean => a.atMs > b.atMs || (a.atMs === b.atMs && a.order > b.order);

/** Everything that was set going and waits for nothing outside has come to rest. */
export async function settled(): Promise<void> {
  for (let turns = 0; turns < 4; turns += 1) await turn();
}
