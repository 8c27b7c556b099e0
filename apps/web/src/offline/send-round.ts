import type { BenchBatch } from '@jarfold/contracts';
import { settle, toSendAgain } from './answers.js';
import type { KeptBench } from './kept-bench.js';
import type { NewEntries } from './new-entry.js';
import { MOST_PER_REQUEST, nextBatch } from './next-batch.js';
import type { OneAtATime } from './one-at-a-time.js';
import type { OwnEntry, Refused } from './own-entry.js';
import type { CorePorts, NetAnswer } from './ports.js';
import type { ServerStanding, Stopped } from './server-standing.js';
import type { TabletClock } from './tablet-clock.js';

type Problem = Extract<NetAnswer<unknown>, { kind: 'problem' }>;

export interface SendingParts {
  readonly net: CorePorts['net'];
  readonly newId: () => string;
  readonly kept: KeptBench;
  readonly clock: TabletClock;
  readonly newEntries: NewEntries;
  readonly standing: ServerStanding;
  readonly turns: OneAtATime;
  readonly tell: () => void;
}

/**
 * One round of sending what waits. It begins with whole batches; once the server could not read one, it sends entry by
 * entry, so that the unreadable one is found and set aside.
 */
export class SendRound {
  readonly #parts: SendingParts;
  #oneByOne = false;
  /** Numbers are started afresh once a round: a server that spends those too has to be looked at by a person. */
  #startedAfresh = false;

  constructor(parts: SendingParts) {
    this.#parts = parts;
  }

  /** What to send next; empty when nothing waits. */
  next(): readonly OwnEntry[] {
    return nextBatch(this.#parts.kept.own, this.#oneByOne ? 1 : MOST_PER_REQUEST);
  }

  /** Null when it is settled and the next may go; else how long to wait, milliseconds. */
  async send(batch: readonly OwnEntry[]): Promise<number | null> {
    const { net, kept, standing, turns, tell } = this.#parts;
    const answer = await net.send(this.#requestOf(batch));
    if (answer.kind === 'problem') return this.#afterProblem(batch, answer);
    if (answer.kind !== 'ok') return standing.afterNo(answer);
    standing.answered();
    const { changed, sendFrom } = settle(batch, answer.body.answers);
    return turns.inTurn(async () => {
      await kept.saveAnswered(changed, answer.body.clockOffsetMs);
      const waitMs = sendFrom === null ? null : await this.#fillGap(sendFrom);
      kept.layOn();
      tell();
      if (waitMs !== null) return waitMs;
      if (changed.length === 0 && sendFrom === null) return standing.failed(); // an answer that answers nothing
      return null;
    });
  }

  #requestOf(batch: readonly OwnEntry[]): BenchBatch {
    const { kept, clock } = this.#parts;
    return {
      deviceId: kept.device?.id ?? '',
      sentAt: clock.tabletInstant(),
      entries: batch.map(({ id, sequence, happenedAt, staffId, kind, payload }) => ({
        id,
        sequence,
        happenedAt,
        staffId,
        kind,
        payload,
      })),
    };
  }

  /** The server lacks entries from a number on: they are sent again, as far as this tablet still has them all. */
  async #fillGap(sendFrom: number): Promise<number | null> {
    const again = toSendAgain(this.#parts.kept.own, sendFrom);
    if (!again) return this.#startNumbersAfresh();
    await this.#parts.kept.saveOwn(again);
    return null;
  }

  /** Under a new id, where this tablet may choose one; an enrolled tablet has to be given one. */
  async #startNumbersAfresh(): Promise<number | null> {
    const { kept, standing, newId } = this.#parts;
    if (kept.device?.enrolled) return standing.stop(ENROL_AGAIN);
    await kept.rename(newId(), false);
    return null;
  }

  async #afterProblem(batch: readonly OwnEntry[], { code, detail, status }: Problem): Promise<number | null> {
    const { standing, turns } = this.#parts;
    standing.answered();
    const numbersSpent = code === 'sequence-spent';
    if (numbersSpent && !this.#startedAfresh) {
      this.#startedAfresh = true;
      return turns.inTurn(() => this.#startNumbersAfresh());
    }
    const aboutEntries = status === 400 || status === 413 || status === 422;
    if (aboutEntries && batch.length > 1) {
      this.#oneByOne = true;
      return null;
    }
    const [only] = batch;
    if (aboutEntries && only && !numbersSpent) {
      await turns.inTurn(() => this.#setAside(only, { reason: code, message: detail }));
      return null;
    }
    return standing.stop({ code, detail });
  }

  /** The server cannot even read it: it is kept to be looked at, and a note takes its number so that nothing waits behind. */
  async #setAside(entry: OwnEntry, refusal: Refused): Promise<void> {
    const { kept, newEntries, tell } = this.#parts;
    const text = `An entry of kind ${entry.kind} could not be read by the server: ${refusal.message}`.slice(0, 2000);
    const note: OwnEntry = {
      ...newEntries.of({ kind: 'noted', payload: { text } }, entry.staffId, []),
      sequence: entry.sequence,
    };
    await kept.saveOwn([{ ...entry, state: 'unsendable', refusal }, note]);
    kept.layOn();
    tell();
  }
}

const ENROL_AGAIN: Stopped = {
  code: 'enrol-again',
  detail: 'Its count of entries no longer fits the server’s. Enrol it again at the desk.',
};
