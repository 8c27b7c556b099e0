import { AsyncLocalStorage } from 'node:async_hooks';
import type { SeededRandom } from '@jarfold/domain';
import { httpNet } from '../../apps/web/src/offline/http-net.js';
import {
  BenchCore,
  type CorePorts,
  MemoryStore,
  type NetPort,
  type OwnEntry,
  type StorePort,
  voidedAmong,
} from '../../apps/web/src/offline/index.js';
import { type AtHand, nextAction } from './bench-hands.js';
import { seededUuid } from './seeded-uuid.js';
import type { Attempted } from './tablet-at-rest.js';
import type { Answered, Sent, UnreliableNetwork } from './unreliable-network.js';
import type { VirtualTime } from './virtual-time.js';

/** Whose request a call of fetch is: the client asks through the one global function, as in a browser. */
const asking = new AsyncLocalStorage<SimulatedTablet>();

let caught: { readonly real: typeof fetch; runs: number } | null = null;

/**
 * Puts the tablets' network in the place of the machine's, for as long as any run needs it. Answers how to put the real
 * one back.
 */
export function catchFetch(): () => void {
  caught ??= { real: globalThis.fetch, runs: 0 };
  caught.runs += 1;
  globalThis.fetch = (async (path: string, init: RequestInit = {}) => {
    const tablet = asking.getStore();
    if (!tablet) throw new TypeError('Only tablets have a network here.');
    return tablet.fetch(path, init);
  }) as typeof fetch;
  return () => {
    if (!caught) return;
    caught.runs -= 1;
    if (caught.runs > 0) return;
    globalThis.fetch = caught.real;
    caught = null;
  };
}

export interface TabletOptions {
  readonly name: string;
  readonly growerId: string;
  readonly deviceId: string;
  readonly deviceCookie: string;
  /** Hands and leads with their PINs. */
  readonly people: readonly string[];
  readonly signIn: (staffId: string, deviceCookie: string) => Promise<string>;
  readonly farm: AtHand;
  readonly time: Pick<VirtualTime, 'nowMs' | 'after'>;
  readonly random: SeededRandom;
  readonly network: Pick<UnreliableNetwork, 'send'>;
  /** How wrong the tablet's clock is. */
  readonly clockWrongMs: number;
  /** Where a planted bug may get in. */
  readonly plant?: {
    readonly store?: (store: MemoryStore, time: Pick<VirtualTime, 'nowMs'>) => StorePort;
    readonly net?: (net: NetPort) => NetPort;
  };
}

/** A tablet of the farm: the app's own offline core on a memory of its own, with people who come and go. */
export class SimulatedTablet {
  readonly attempted: Attempted[] = [];
  /** Ids the server said it has, in answers that reached the tablet. */
  readonly acked = new Set<string>();
  readonly faults: unknown[] = [];
  readonly breaches = new Set<string>();
  core: BenchCore;
  online = true;
  restarts = 0;
  signIns = 0;
  #session = '';
  #staffId: string;
  readonly #memory = new MemoryStore();
  readonly #store: StorePort;
  #cursor = -1;
  readonly #hidden = new Set<string>();
  /** From the seed, so that a run can be had again. */
  readonly #uuid = () => seededUuid(this.options.random);

  constructor(readonly options: TabletOptions) {
    this.#staffId = options.people[0] ?? '';
    this.#store = options.plant?.store?.(this.#memory, options.time) ?? this.#memory;
    this.core = new BenchCore(this.#ports());
  }

  async begin(): Promise<void> {
    await this.signIn();
    await this.core.start();
    await this.core.adoptDevice(this.options.deviceId);
  }

  /** Somebody, not always the same person, types a PIN. */
  async signIn(): Promise<void> {
    const { people, random, signIn, deviceCookie } = this.options;
    this.#staffId = people[random.whole(people.length)] ?? '';
    this.#session = await signIn(this.#staffId, deviceCookie);
    this.signIns += 1;
    if (this.core.status().ready) void this.core.signedIn();
  }

  /** The app is closed and opened again on what its memory holds. */
  async restart(): Promise<void> {
    this.core.close();
    this.restarts += 1;
    this.core = new BenchCore(this.#ports());
    await this.core.start();
  }

  /** One thing a person does, if the tablet finds it possible. */
  async work(): Promise<void> {
    const { farm, random } = this.options;
    if (this.core.view.farm === null) return;
    if (random.uniform() < 0.06) return this.#undo();
    const action = nextAction(farm, this.core.view, random, this.#uuid);
    if (!action) return;
    const answer = await this.core.record(action, this.#staffId);
    if (answer.outcome === 'saved') this.#note(answer.entry);
  }

  async #undo(): Promise<void> {
    const recent = this.core
      .own()
      .slice(-6)
      .filter((entry) => this.core.mayUndo(entry));
    const target = recent[this.options.random.whole(recent.length)];
    if (!target) return;
    const answer = await this.core.undo(target.id, this.#staffId);
    if (answer.outcome === 'saved') this.#note(answer.entry);
  }

  #note({ id, sequence, kind, payload }: OwnEntry): void {
    const making = kind === 'received' || kind === 'inoculated';
    const makes = making ? (payload.jars as { id: string }[]).map((jar) => jar.id) : [];
    this.attempted.push({ id, sequence, makes });
    if (!this.core.own().some((own) => own.id === id)) this.breaches.add(`I6 ${id} is saved and not shown`);
  }

  async fetch(path: string, init: RequestInit): Promise<Response> {
    if (!this.online) throw new TypeError('There is no network here.');
    const sent: Sent = {
      method: init.method ?? 'GET',
      path,
      headers: {
        ...(init.headers as Record<string, string>),
        cookie: `${this.options.deviceCookie}; ${this.#session}`,
      },
      body: init.body as string | undefined,
    };
    const answer = await this.options.network.send(sent);
    return responseOf(answer);
  }

  /** Looks for what may never be seen on a tablet, after anything has reached it. */
  watch(): void {
    const { cursor } = this.core.status();
    if (cursor !== null && cursor < this.#cursor)
      this.breaches.add(`I6 ${this.options.name} went back from ${this.#cursor} to ${cursor}`);
    this.#cursor = cursor ?? this.#cursor;
    for (const { id, state } of this.core.own()) if (state === 'applied' || state === 'refused') this.acked.add(id);
    this.#ownWorkIsShown();
  }

  /**
   * Jars that this tablet made, and neither undid nor was refused, are there. An entry that is not sent yet may be
   * impossible by now, after what another tablet did, and so may bringing one back; it is a breach only if the server takes
   * it in the end.
   */
  #ownWorkIsShown(): void {
    const voided = voidedAmong(this.core.own());
    const own = new Map(this.core.own().map((entry) => [entry.id, entry]));
    for (const { id, makes } of this.attempted) {
      const state = own.get(id)?.state;
      if (makes.length === 0 || state === undefined || state === 'refused' || voided.has(id)) continue;
      if (makes.every((jarId) => this.core.view.thing('jar', jarId))) continue;
      const waiting = this.#waitingIn(id);
      if (waiting !== null) this.#hidden.add(waiting);
      else this.breaches.add(`I6 ${this.options.name} lost sight of jars of its own entry ${id}`);
    }
  }

  /** What is not sent yet of an entry and what took it back and brought it back; null when the server has answered all. */
  #waitingIn(id: string): string | null {
    const own = this.core.own();
    for (let about: string | undefined = id; about !== undefined; ) {
      const named: string = about;
      if (own.some((entry) => entry.id === named && entry.state === 'unsent')) return named;
      about = own.findLast(({ kind, payload }) => kind === 'corrected' && payload.entryId === named)?.id;
    }
    return null;
  }

  /** Called when everything has come to rest. */
  lookBack(): void {
    for (const { id, state } of this.core.own()) {
      if (state === 'applied' && this.#hidden.has(id)) {
        this.breaches.add(`I6 ${this.options.name} did not show its own entry ${id}, which the server took`);
      }
    }
  }

  #ports(): CorePorts {
    const { time, random, growerId, clockWrongMs, plant } = this.options;
    const real = httpNet(growerId);
    const asked =
      <A extends readonly unknown[], T>(ask: (...args: A) => Promise<T>) =>
      async (...args: A): Promise<T> => {
        const answer = await asking.run(this, () => ask(...args));
        time.after(0, () => this.watch());
        return answer;
      };
    const net: NetPort = { send: asked(real.send), changes: asked(real.changes), snapshot: asked(real.snapshot) };
    return {
      clock: { nowMs: () => time.nowMs + clockWrongMs },
      random: { uuid: this.#uuid, fraction: () => random.uniform() },
      schedule: { after: (delayMs, run) => time.after(delayMs, run) },
      lock: { tryHold: (_name, work) => work() },
      net: plant?.net?.(net) ?? net,
      store: this.#store,
      report: (fault) => this.faults.push(fault),
    };
  }
}

function responseOf({ status, headers, text }: Answered): Response {
  const lower = new Map(Object.entries(headers).map(([name, value]) => [name.toLowerCase(), value]));
  return {
    ok: status >= 200 && status < 300,
    status,
    headers: { get: (name: string) => lower.get(name.toLowerCase()) ?? null },
    json: async () => JSON.parse(text),
  } as unknown as Response;
}
