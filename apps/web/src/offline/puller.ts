import type { KeptBench } from './kept-bench.js';
import type { OneAtATime } from './one-at-a-time.js';
import type { CorePorts } from './ports.js';
import type { ServerStanding } from './server-standing.js';

/** Settings and the plan's jobs change without an entry of the log. */
const FACTS_MS = 60_000;

export interface PullingParts {
  readonly net: CorePorts['net'];
  readonly clock: CorePorts['clock'];
  readonly kept: KeptBench;
  readonly standing: ServerStanding;
  readonly turns: OneAtATime;
  readonly tell: () => void;
}

/** Decides what to ask the server for: the whole picture, what changed since, or the settings and jobs alone. */
export class Puller {
  readonly #parts: PullingParts;
  #factsAtMs = 0;
  #factsName: string | null = null;

  constructor(parts: PullingParts) {
    this.#parts = parts;
  }

  /** Null when this tablet has all that is new; else how long to wait before the next try, milliseconds. */
  async pull(): Promise<number | null> {
    const { cursor } = this.#parts.kept;
    const waitMs = cursor === null ? await this.#takePicture() : await this.#takeChanges(cursor);
    return waitMs ?? (await this.#takeFacts());
  }

  async #takePicture(): Promise<number | null> {
    const { net, kept, standing } = this.#parts;
    const answer = await net.snapshot();
    if (answer.kind !== 'ok') return standing.afterNo(answer);
    standing.answered();
    return this.#show(() => kept.takePicture(answer.body));
  }

  async #takeChanges(after: number): Promise<number | null> {
    const { net, kept, standing, turns, tell } = this.#parts;
    const answer = await net.changes(after);
    if (answer.kind !== 'ok') return standing.afterNo(answer);
    standing.answered();
    if (answer.body.tooOld) return this.#takePicture();
    const { position, things } = answer.body;
    await turns.inTurn(async () => {
      if (position === kept.cursor && things.length === 0) return;
      await kept.takeChanges(answer.body);
      tell();
    });
    return null;
  }

  async #takeFacts(): Promise<number | null> {
    const { net, clock, kept, standing } = this.#parts;
    if (!net.facts || Math.abs(clock.nowMs() - this.#factsAtMs) < FACTS_MS) return null;
    const answer = await net.facts(this.#factsName);
    if (answer.kind !== 'ok') return standing.afterNo(answer);
    this.#factsAtMs = clock.nowMs();
    const fresh = answer.body;
    if (fresh === null) return null;
    this.#factsName = fresh.name;
    return this.#show(() => kept.takeFacts(fresh.farm));
  }

  async #show(take: () => Promise<void>): Promise<null> {
    const { turns, tell } = this.#parts;
    await turns.inTurn(async () => {
      await take();
      tell();
    });
    return null;
  }
}
