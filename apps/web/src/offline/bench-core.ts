import { type BenchStatus, saysTheSame, statusOf } from './bench-status.js';
import { type ImportAnswer, takeCarriedWork, workToCarry } from './carried-work.js';
import { KeptBench } from './kept-bench.js';
import type { LocalFarm } from './local-farm.js';
import { NewEntries } from './new-entry.js';
import { OneAtATime } from './one-at-a-time.js';
import type { BenchAction, OwnEntry } from './own-entry.js';
import type { CorePorts } from './ports.js';
import { Puller } from './puller.js';
import { type RecordAnswer, Recorder, type UndoAnswer } from './recorder.js';
import { SendRound } from './send-round.js';
import { ServerStanding } from './server-standing.js';
import { SyncLoop } from './sync-loop.js';
import { TabletClock } from './tablet-clock.js';

export type { BenchStatus, ImportAnswer, RecordAnswer, UndoAnswer };

/**
 * The tablet's half of the bench log: saves what hands do before the screen says so, shows it at once, sends it when it
 * can, and keeps a copy of the farm to work on without a network. Nothing here knows a browser.
 *
 * This is its door: it does what is asked in turn, has it sent and tells whoever listens. What is decided stands in the
 * rooms behind it.
 */
export class BenchCore {
  readonly view: LocalFarm;
  readonly #newId: () => string;
  readonly #clock: TabletClock;
  readonly #kept: KeptBench;
  readonly #newEntries: NewEntries;
  readonly #recorder: Recorder;
  readonly #standing: ServerStanding;
  readonly #turns = new OneAtATime();
  readonly #loop: SyncLoop;
  readonly #listeners = new Set<() => void>();
  #ready = false;
  #status: BenchStatus | null = null;
  #statusIsOld = true;

  constructor(ports: CorePorts) {
    this.#newId = () => ports.random.uuid();
    this.#clock = new TabletClock(ports.clock);
    this.#kept = new KeptBench(ports.store, this.#clock);
    this.view = this.#kept.view;
    this.#newEntries = new NewEntries(this.#kept, this.#clock, this.#newId);
    this.#recorder = new Recorder(this.#kept, this.#newEntries);
    this.#standing = new ServerStanding(() => ports.random.fraction());
    this.#loop = this.#loopOn(ports);
  }

  /** Reads the store and begins to send and to ask. Resolves when the tablet can be worked on, network or none. */
  async start(): Promise<void> {
    await this.#kept.load();
    if (!this.#kept.device) await this.#kept.nameFirst(this.#newId());
    this.#ready = true;
    this.#tell();
    this.#loop.wake(0);
  }

  /** Stops sending; what is stored stays. */
  close(): void {
    this.#loop.close();
  }

  subscribe(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** One object until it has something else to say: who listens is told more often than that. */
  status(): BenchStatus {
    if (this.#status && !this.#statusIsOld) return this.#status;
    const now = { ready: this.#ready, exchanging: this.#loop.exchanging };
    const status = statusOf(this.#kept, this.#clock, this.#standing, now);
    this.#statusIsOld = false;
    if (!this.#status || !saysTheSame(this.#status, status)) this.#status = status;
    return this.#status;
  }

  /** This tablet's own entries, oldest first. */
  own(): readonly OwnEntry[] {
    return this.#kept.own;
  }

  /** The moment now by the server's clock, as far as it was measured. */
  nowMs(): number {
    return this.#clock.serverMs();
  }

  newId(): string {
    return this.#newId();
  }

  /**
   * Saves an action. What the rules call impossible is not saved and answered at once; what they only advise against is
   * saved with its warnings.
   */
  record(action: BenchAction, staffId: string): Promise<RecordAnswer> {
    return this.#turns.inTurn(async () => {
      const answer = await this.#recorder.record(action, staffId);
      if (answer.outcome === 'saved') this.#changed();
      return answer;
    });
  }

  /** Takes an entry of this tablet back, or brings back what an undo took: always as an entry of its own. */
  undo(entryId: string, staffId: string): Promise<UndoAnswer> {
    return this.#turns.inTurn(async () => {
      const answer = await this.#recorder.undo(entryId, staffId);
      if (answer.outcome === 'saved') this.#changed();
      return answer;
    });
  }

  /** Whether an entry stands and can be taken back. */
  mayUndo(entry: OwnEntry): boolean {
    return this.#recorder.mayUndo(entry);
  }

  /** Puts a refused entry away: somebody has seen it. */
  putAway(entryId: string): Promise<void> {
    return this.#turns.inTurn(async () => {
      const entry = this.#kept.own.find(({ id }) => id === entryId);
      if (!entry) return;
      await this.#kept.saveOwn([{ ...entry, settled: true }]);
      this.#changed();
    });
  }

  /** Sends and asks now. Resolves when that came to an end, well or badly. */
  syncNow(): Promise<void> {
    return this.#loop.runNow();
  }

  /** Somebody has signed in: what waited for that goes on. */
  async signedIn(): Promise<void> {
    this.#standing.signedIn();
    this.#tell();
    await this.syncNow();
  }

  /** The server knows this tablet by an id of its own giving: work not sent yet goes out under it, counted anew. */
  adoptDevice(deviceId: string): Promise<void> {
    return this.#turns.inTurn(async () => {
      if (this.#kept.device?.id !== deviceId) await this.#kept.rename(deviceId, true);
      this.#standing.mended();
      this.#changed();
    });
  }

  /** The tablet is no longer one of the farm's: what waits goes out as one person's own device, once somebody signs in. */
  leaveDevice(): Promise<void> {
    return this.#turns.inTurn(async () => {
      if (!this.#kept.device?.enrolled) return;
      await this.#kept.rename(this.#newId(), false);
      this.#standing.mended();
      this.#changed();
    });
  }

  /** Forgets the copy of the farm. Work not sent yet stays. */
  forgetFarm(): Promise<void> {
    return this.#turns.inTurn(async () => {
      await this.#kept.forgetFarm();
      this.#tell();
    });
  }

  unsentFile(): string {
    return workToCarry(this.#kept, this.#clock);
  }

  /** Takes work from a file another tablet saved. An entry that is here already is left as it is. */
  takeUnsentFile(text: string): Promise<ImportAnswer> {
    return this.#turns.inTurn(async () => {
      const answer = await takeCarriedWork(this.#kept, this.#newEntries, text);
      if (answer.outcome === 'taken') this.#changed();
      return answer;
    });
  }

  /** Another window of this tablet has changed the store. */
  async reloadFromStore(): Promise<void> {
    await this.#turns.inTurn(() => this.#kept.load());
    this.#changed();
  }

  #loopOn(ports: CorePorts): SyncLoop {
    const shared = {
      kept: this.#kept,
      standing: this.#standing,
      turns: this.#turns,
      tell: () => this.#tell(),
    };
    const sending = { ...shared, net: ports.net, newId: this.#newId, clock: this.#clock, newEntries: this.#newEntries };
    const puller = new Puller({ ...shared, net: ports.net, clock: ports.clock });
    return new SyncLoop({ ...shared, ports, newRound: () => new SendRound(sending), puller });
  }

  #changed(): void {
    this.#tell();
    this.#loop.nudge();
  }

  #tell(): void {
    this.#statusIsOld = true;
    for (const listener of this.#listeners) listener();
  }
}
