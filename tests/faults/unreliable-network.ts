import type { SeededRandom } from '@jarfold/domain';
import type { VirtualTime } from './virtual-time.js';

/** A request on its way, with the cookies it left with. */
export interface Sent {
  readonly method: string;
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | undefined;
}

export interface Answered {
  readonly status: number;
  readonly headers: Readonly<Record<string, string>>;
  readonly text: string;
}

export type Deliver = (sent: Sent) => Promise<Answered>;

/** What can happen to a request, with how often it does while faults are on. The rest goes well. */
const FAULTS = {
  cutBeforeSend: 0.09,
  cutBeforeReply: 0.1,
  cutInTheBody: 0.03,
  slowerThanPatience: 0.05,
  duplicated: 0.08,
  replayedDaysLater: 0.02,
} as const;
type Fault = keyof typeof FAULTS | 'none';

const PATIENCE_MS = 30_000;
const DAY_MS = 86_400_000;

/** A network as a farm has it: requests get lost, answers get lost, some come late, twice, or days afterwards. */
export class UnreliableNetwork {
  faultsOn = true;
  readonly happened: Record<Fault, number> = {
    ...{ cutBeforeSend: 0, cutBeforeReply: 0, cutInTheBody: 0, slowerThanPatience: 0, duplicated: 0 },
    ...{ replayedDaysLater: 0, none: 0 },
  };

  constructor(
    private readonly time: VirtualTime,
    private readonly random: SeededRandom,
    private readonly deliver: Deliver,
  ) {}

  send(sent: Sent): Promise<Answered> {
    const fault = this.#draw();
    this.happened[fault] += 1;
    return new Promise((resolve, reject) => {
      const lost = (afterMs: number) => this.time.after(afterMs, () => reject(new TypeError('The network failed.')));
      const arrive = (afterMs: number, answered: (answer: Answered) => void) =>
        this.time.after(afterMs, async () => answered(await this.deliver(sent)));
      const nobody = () => undefined;
      const way = this.#between(5, 400);
      switch (fault) {
        case 'cutBeforeSend':
          return lost(way);
        case 'cutBeforeReply':
          return arrive(way, () => lost(this.#between(5, 2000)));
        case 'cutInTheBody':
          return arrive(way, ({ text, ...head }) => resolve({ ...head, text: text.slice(0, text.length / 2) }));
        case 'slowerThanPatience':
          lost(PATIENCE_MS);
          return arrive(PATIENCE_MS + this.#between(10, 120_000), nobody);
        case 'duplicated':
          arrive(way, resolve);
          for (let copies = 1 + this.random.whole(4); copies > 0; copies -= 1) arrive(this.#between(5, 60_000), nobody);
          return;
        case 'replayedDaysLater':
          arrive(way, resolve);
          return arrive(this.#between(DAY_MS, 5 * DAY_MS), nobody);
        default:
          return arrive(way, resolve);
      }
    });
  }

  #draw(): Fault {
    if (!this.faultsOn) return 'none';
    let drawn = this.random.uniform();
    for (const [fault, share] of Object.entries(FAULTS)) {
      if (drawn < share) return fault as Fault;
      drawn -= share;
    }
    return 'none';
  }

  #between(low: number, high: number): number {
    return low + this.random.whole(high - low);
  }
}
