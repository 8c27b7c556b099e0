import type { BenchBatch } from '@jarfold/contracts';
import {
  type BenchWarning,
  CLOCK_TOLERANCE_MS,
  calendarDayAt,
  type EntryKind,
  type Impossible,
  OLDEST_UNSENT_MS,
} from '@jarfold/domain';
import { settle, toSendAgain } from './answers.js';
import { backoffMs } from './backoff.js';
import type { BenchPicture, ChangesSince, FarmFacts } from './farm-facts.js';
import { isAction, LocalFarm, voidedAmong, withItsCode } from './local-farm.js';
import { type BenchAction, benchEntryOf, type NewOwnEntry, type OwnEntry, type ThingImage } from './own-entry.js';
import type { CorePorts, DeviceFacts, NetAnswer, StoreChange } from './ports.js';
import type { AnyThing } from './thing-shelf.js';
import { readUnsentFile, type UnsentFileFault, writeUnsentFile } from './unsent-file.js';

const SENDER_LOCK = 'jarfold-bench-sender';
/** Well under the server's bound, so that a slow link makes progress in steps it can finish. */
const MOST_PER_REQUEST = 100;
const MOST_CHARACTERS_PER_REQUEST = 400_000;
const POLL_MS = 15_000;
/** Settings and the plan's jobs change without an entry of the log. */
const FACTS_MS = 60_000;
const LOCK_HELD_MS = 2_000;
/** After the server has said no to this tablet as such; a person has to act, but the farm may also mend itself. */
const STOPPED_MS = 300_000;
/** Sent entries are kept so far back that a server restored from an older copy gets them again. */
const KEEP_SENT = 2_000;
const KEEP_IMAGES = 60;

export type RecordAnswer =
  | { readonly outcome: 'saved'; readonly entry: OwnEntry; readonly warnings: readonly BenchWarning[] }
  | { readonly outcome: 'impossible'; readonly obstacles: readonly Impossible[] };

export type UndoAnswer =
  | { readonly outcome: 'saved'; readonly entry: OwnEntry }
  | { readonly outcome: 'nothing-to-undo' }
  /** Another entry of this tablet rests on it and has to be taken back first. */
  | { readonly outcome: 'in-the-way'; readonly entry: OwnEntry };

export type ImportAnswer =
  | { readonly outcome: 'taken'; readonly taken: number; readonly known: number }
  | { readonly outcome: 'refused'; readonly fault: UnsentFileFault };

export interface Stopped {
  readonly code: string;
  readonly detail: string;
}

export interface BenchStatus {
  readonly ready: boolean;
  readonly unsent: number;
  readonly oldestUnsentAtMs: number | null;
  /** Refused or unreadable entries nobody has put away yet, oldest first. */
  readonly needsLook: readonly OwnEntry[];
  /** Somebody has to sign in before anything can be sent; nothing is lost meanwhile. */
  readonly needsSignIn: boolean;
  readonly stopped: Stopped | null;
  readonly sending: boolean;
  /** Whether the last try reached the server. */
  readonly reached: boolean;
  readonly clockOffsetMs: number;
  readonly clockWrong: boolean;
  readonly cursor: number | null;
  readonly deviceId: string | null;
}

/**
 * The tablet's half of the bench log: saves what hands do before the screen says so, shows it at once, sends it when it
 * can, and keeps a copy of the farm to work on without a network. Nothing here knows a browser.
 */
export class BenchCore {
  readonly view = new LocalFarm();
  readonly #ports: CorePorts;
  readonly #listeners = new Set<() => void>();
  #own: readonly OwnEntry[] = [];
  #device: DeviceFacts | null = null;
  #cursor: number | null = null;
  #clockOffsetMs = 0;
  #ready = false;
  #needsSignIn = false;
  #stopped: Stopped | null = null;
  #sending = false;
  #reached = false;
  #failures = 0;
  #running: Promise<void> | null = null;
  #again = false;
  #reissued = false;
  #oneByOne = false;
  #factsAtMs = 0;
  #factsName: string | null = null;
  #cancelTimer: () => void = () => undefined;
  #closed = false;
  #turn: Promise<unknown> = Promise.resolve();
  #status: BenchStatus | null = null;

  constructor(ports: CorePorts) {
    this.#ports = ports;
  }

  /** Reads the store and begins to send and to ask. Resolves when the tablet can be worked on, network or none. */
  async start(): Promise<void> {
    await this.#reload();
    if (!this.#device) {
      this.#device = { id: this.#ports.random.uuid(), nextSequence: 1 };
      await this.#ports.store.commit({ device: this.#device });
    }
    this.#ready = true;
    this.#tell();
    this.#wake(0);
  }

  /** Stops sending; what is stored stays. */
  close(): void {
    this.#closed = true;
    this.#cancelTimer();
  }

  subscribe(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** One object until something changes. */
  status(): BenchStatus {
    this.#status ??= this.#makeStatus();
    return this.#status;
  }

  /** This tablet's own entries, oldest first. */
  own(): readonly OwnEntry[] {
    return this.#own;
  }

  /** The moment now by the server's clock, as far as it was measured. */
  nowMs(): number {
    return this.#tabletMs() + this.#clockOffsetMs;
  }

  newId(): string {
    return this.#ports.random.uuid();
  }

  /**
   * Saves an action. What the rules call impossible is not saved and answered at once; what they only advise against is
   * saved with its warnings.
   */
  record(action: BenchAction, staffId: string): Promise<RecordAnswer> {
    return this.#inTurn(async () => {
      const plain = this.#newEntry(action, staffId, []);
      const entry = benchEntryOf(plain);
      if (!isAction(entry)) throw new TypeError('An entry is taken back with undo().');
      const decision = this.view.try(entry);
      if (decision.outcome === 'refused') return { outcome: 'impossible', obstacles: decision.obstacles };
      const images = this.view.imagesOf(decision.things);
      const stored = await this.#store({ ...withItsCode(plain, decision.facts.code), images });
      const now = benchEntryOf(stored);
      if (isAction(now)) this.view.apply(now);
      this.#changed();
      return { outcome: 'saved', entry: stored, warnings: decision.warnings };
    });
  }

  /** Takes an entry of this tablet back, or brings back what an undo took: always as an entry of its own. */
  undo(entryId: string, staffId: string): Promise<UndoAnswer> {
    return this.#inTurn(async () => {
      const target = this.#own.find(({ id }) => id === entryId);
      if (!target || !this.mayUndo(target)) return { outcome: 'nothing-to-undo' };
      const payload = { entryId, reason: 'Taken back at the bench.' };
      const images = target.images.map((image) => ({ ...image, before: image.after, after: image.before }));
      const correction = this.#newEntry({ kind: 'corrected', payload }, staffId, images);
      const inTheWay = this.#restingOn(correction);
      if (inTheWay) return { outcome: 'in-the-way', entry: inTheWay };
      const stored = await this.#store(correction);
      this.#layOn();
      this.#changed();
      return { outcome: 'saved', entry: stored };
    });
  }

  /** Whether an entry stands and can be taken back. */
  mayUndo(entry: OwnEntry): boolean {
    if (entry.state === 'refused' || entry.state === 'unsendable') return false;
    return !voidedAmong(this.#own).has(entry.id);
  }

  /** Puts a refused entry away: somebody has seen it. */
  async putAway(entryId: string): Promise<void> {
    await this.#inTurn(async () => {
      const entry = this.#own.find(({ id }) => id === entryId);
      if (!entry) return;
      await this.#saveOwn([{ ...entry, settled: true }]);
      this.#changed();
    });
  }

  /** Sends and asks now. Resolves when that came to an end, well or badly. */
  async syncNow(): Promise<void> {
    this.#failures = 0;
    this.#cancelTimer();
    await this.#run();
  }

  /** Somebody has signed in: what waited for that goes on. */
  async signedIn(): Promise<void> {
    this.#needsSignIn = false;
    this.#stopped = null;
    this.#tell();
    await this.syncNow();
  }

  /** The server knows this tablet by an id of its own giving: work not sent yet goes out under it, counted anew. */
  adoptDevice(deviceId: string): Promise<void> {
    return this.#inTurn(async () => {
      if (this.#device?.id !== deviceId) await this.#renumber(deviceId, true);
      this.#stopped = null;
      this.#changed();
    });
  }

  /** The tablet is no longer one of the farm's: what waits goes out as one person's own device, once somebody signs in. */
  leaveDevice(): Promise<void> {
    return this.#inTurn(async () => {
      if (!this.#device?.enrolled) return;
      await this.#renumber(this.#ports.random.uuid(), false);
      this.#stopped = null;
      this.#changed();
    });
  }

  /** Forgets the copy of the farm. Work not sent yet stays. */
  forgetFarm(): Promise<void> {
    return this.#inTurn(async () => {
      await this.#ports.store.commit({ farm: null, cursor: null, clearThings: true });
      this.#cursor = null;
      this.view.replace(null, []);
      this.#tell();
    });
  }

  unsentFile(): string {
    return writeUnsentFile(this.#own, {
      growerId: this.view.farm?.farm.growerId ?? '',
      deviceId: this.#device?.id ?? '',
      savedAt: new Date(this.#tabletMs()).toISOString(),
    });
  }

  /** Takes work from a file another tablet saved. An entry that is here already is left as it is. */
  takeUnsentFile(text: string): Promise<ImportAnswer> {
    return this.#inTurn(async () => {
      const read = readUnsentFile(text, this.view.farm?.farm.growerId ?? '');
      if ('fault' in read) return { outcome: 'refused', fault: read.fault };
      const here = new Set(this.#own.map(({ id }) => id));
      const fresh = read.entries.filter(({ id }) => !here.has(id));
      const entries = fresh.map((carried) => this.#carried({ ...carried, kind: carried.kind as EntryKind }));
      if (entries.length > 0) this.#keep(await this.#ports.store.append(entries));
      this.#layOn();
      this.#changed();
      return { outcome: 'taken', taken: entries.length, known: read.entries.length - entries.length };
    });
  }

  /** Another window of this tablet has changed the store. */
  async reloadFromStore(): Promise<void> {
    await this.#inTurn(() => this.#reload());
    this.#changed();
  }

  // --- recording -----------------------------------------------------------------------------------------------------

  #newEntry(action: BenchAction, staffId: string, images: readonly ThingImage[]): NewOwnEntry {
    const happenedAt = new Date(this.#tabletMs()).toISOString();
    const atMs = Math.max(this.#momentOf(happenedAt), this.#own.at(-1)?.atMs ?? -Infinity);
    return {
      id: this.#ports.random.uuid(),
      happenedAt,
      staffId,
      kind: action.kind,
      payload: action.payload as Readonly<Record<string, unknown>>,
      atMs,
      day: calendarDayAt(atMs, this.view.farm?.farm.timeZone ?? 'UTC'),
      ...UNSENT,
      images,
    };
  }

  /** The tablet's clock. A dead battery may say anything; nothing is sent that claims to be from before 1970. */
  #tabletMs(): number {
    const ms = this.#ports.clock.nowMs();
    return Number.isFinite(ms) ? Math.max(0, ms) : 0;
  }

  #carried(carried: Pick<NewOwnEntry, 'id' | 'happenedAt' | 'staffId' | 'kind' | 'payload'>): NewOwnEntry {
    const atMs = this.#momentOf(carried.happenedAt);
    const day = calendarDayAt(atMs, this.view.farm?.farm.timeZone ?? 'UTC');
    return { ...carried, atMs, day, ...UNSENT, images: [] };
  }

  /** What a moment of the tablet's clock means here; a clock that is absurd against the picture's gives way to it. */
  #momentOf(happenedAt: string): number {
    const ms = Date.parse(happenedAt) + this.#clockOffsetMs;
    const pictureMs = Date.parse(this.view.farm?.takenAt ?? '');
    return Math.abs(ms - pictureMs) > OLDEST_UNSENT_MS ? pictureMs : ms;
  }

  async #store(entry: NewOwnEntry): Promise<OwnEntry> {
    const [stored] = await this.#ports.store.append([entry]);
    if (!stored) throw new Error('The store kept nothing.');
    this.#keep([stored]);
    return stored;
  }

  #keep(stored: readonly OwnEntry[]): void {
    this.#own = [...this.#own, ...stored];
    const last = stored.at(-1);
    if (last && this.#device) this.#device = { ...this.#device, nextSequence: last.sequence + 1 };
  }

  /** The first entry of this tablet that could not stand if the correction did; the view is left as it was. */
  #restingOn(correction: NewOwnEntry): OwnEntry | null {
    const trial: OwnEntry = { ...correction, sequence: Number.MAX_SAFE_INTEGER };
    const before = this.#layOn();
    const after = this.view.layOn([...this.#pending(), trial], [...this.#own, trial]);
    const broken = this.#own.find(({ id }) => after.has(id) && !before.has(id)) ?? null;
    this.#layOn();
    return broken;
  }

  /** Own entries the server's picture does not contain. */
  #pending(): readonly OwnEntry[] {
    const cursor = this.#cursor ?? -1;
    return this.#own.filter(
      ({ state, position }) => state === 'unsent' || (state === 'applied' && (position ?? 0) > cursor),
    );
  }

  #layOn(): ReadonlySet<string> {
    return this.view.layOn(this.#pending(), this.#own);
  }

  // --- sending and asking --------------------------------------------------------------------------------------------

  #run(): Promise<void> {
    if (this.#running) {
      this.#again = true;
      return this.#running;
    }
    this.#running = this.#sync().finally(() => {
      this.#running = null;
      if (this.#again) {
        this.#again = false;
        this.#wake(0);
      }
    });
    return this.#running;
  }

  async #sync(): Promise<void> {
    if (this.#closed) return;
    this.#sending = true;
    this.#reissued = false;
    this.#oneByOne = false;
    this.#tell();
    const waitMs = await this.#ports.lock
      .tryHold(SENDER_LOCK, () => this.#exchange())
      .catch((fault: unknown) => {
        this.#ports.report?.(fault);
        return this.#failed();
      });
    this.#sending = false;
    this.#tell();
    this.#wake(waitMs === 'held' ? LOCK_HELD_MS : waitMs);
  }

  /** Sends everything, then asks what is new. Answers how long to wait before the next time, milliseconds. */
  async #exchange(): Promise<number> {
    await this.#inTurn(() => this.#refreshOwn());
    for (let batch = this.#nextBatch(); batch.length > 0; batch = this.#nextBatch()) {
      const waitMs = await this.#sendBatch(batch);
      if (waitMs !== null) return waitMs;
      if (this.#closed) return POLL_MS;
    }
    // Only now: an entry whose answer was lost may already be in the server's picture, and would be shown twice.
    const waitMs = this.#cursor === null ? await this.#takePicture() : await this.#takeChanges(this.#cursor);
    if (waitMs !== null) return waitMs;
    const factsWaitMs = await this.#takeFacts();
    if (factsWaitMs !== null) return factsWaitMs;
    this.#failures = 0;
    return POLL_MS;
  }

  #nextBatch(): readonly OwnEntry[] {
    const unsent = this.#own.filter(({ state }) => state === 'unsent').sort((a, b) => a.sequence - b.sequence);
    const most = this.#oneByOne ? 1 : MOST_PER_REQUEST;
    const batch: OwnEntry[] = [];
    let characters = 0;
    for (const entry of unsent.slice(0, most)) {
      characters += JSON.stringify(entry.payload).length;
      if (batch.length > 0 && characters > MOST_CHARACTERS_PER_REQUEST) break;
      batch.push(entry);
    }
    return batch;
  }

  /** Null when it is settled and the next may go; else how long to wait, milliseconds. */
  async #sendBatch(batch: readonly OwnEntry[]): Promise<number | null> {
    const answer = await this.#ports.net.send(this.#requestOf(batch));
    if (answer.kind === 'problem') return this.#afterProblem(batch, answer);
    if (answer.kind !== 'ok') return this.#afterFailure(answer);
    this.#reachedServer();
    const { changed, sendFrom } = settle(batch, answer.body.answers);
    return this.#inTurn(async () => {
      this.#clockOffsetMs = answer.body.clockOffsetMs;
      await this.#saveOwn(changed, { clockOffsetMs: this.#clockOffsetMs });
      if (sendFrom !== null) await this.#fillGap(sendFrom);
      this.#layOn();
      this.#tell();
      if (this.#stopped) return STOPPED_MS;
      if (changed.length === 0 && sendFrom === null) return this.#failed(); // an answer that answers nothing
      return null;
    });
  }

  #requestOf(batch: readonly OwnEntry[]): BenchBatch {
    return {
      deviceId: this.#device?.id ?? '',
      sentAt: new Date(this.#tabletMs()).toISOString(),
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

  async #fillGap(sendFrom: number): Promise<void> {
    const again = toSendAgain(this.#own, sendFrom);
    if (again) await this.#saveOwn(again);
    else await this.#startNumbersAfresh();
  }

  /** Under a new id, where this tablet may choose one; an enrolled tablet has to be given one. */
  async #startNumbersAfresh(): Promise<void> {
    if (this.#device?.enrolled) this.#stopped = ENROL_AGAIN;
    else await this.#renumber(this.#ports.random.uuid(), false);
  }

  async #afterProblem(batch: readonly OwnEntry[], problem: Extract<NetAnswer<unknown>, { kind: 'problem' }>) {
    this.#reachedServer();
    const { code, detail, status } = problem;
    if (code === 'sequence-spent' && !this.#reissued) {
      this.#reissued = true;
      await this.#inTurn(() => this.#startNumbersAfresh());
      return this.#stopped ? STOPPED_MS : null;
    }
    const aboutEntries = status === 400 || status === 413 || status === 422;
    if (aboutEntries && batch.length > 1) {
      this.#oneByOne = true;
      return null;
    }
    const [only] = batch;
    if (aboutEntries && only && code !== 'sequence-spent') {
      await this.#inTurn(() => this.#setAside(only, { reason: code, message: detail }));
      return null;
    }
    this.#stopped = { code, detail };
    return STOPPED_MS;
  }

  /** The server cannot even read it: it is kept to be looked at, and a note takes its number so that nothing waits behind. */
  async #setAside(entry: OwnEntry, refusal: { reason: string; message: string }): Promise<void> {
    const text = `An entry of kind ${entry.kind} could not be read by the server: ${refusal.message}`.slice(0, 2000);
    const note: OwnEntry = {
      ...this.#newEntry({ kind: 'noted', payload: { text } }, entry.staffId, []),
      sequence: entry.sequence,
    };
    await this.#saveOwn([{ ...entry, state: 'unsendable', refusal }, note]);
    this.#layOn();
    this.#tell();
  }

  async #takePicture(): Promise<number | null> {
    const answer = await this.#ports.net.snapshot();
    if (answer.kind !== 'ok') return this.#afterFailure(answer);
    this.#reachedServer();
    await this.#inTurn(() => this.#showPicture(answer.body));
    return null;
  }

  async #showPicture({ position, farm, things }: BenchPicture): Promise<void> {
    const dropOwn = this.#tooOldToKeep(position);
    const clockOffsetMs = this.#offsetBy(farm.takenAt);
    await this.#ports.store.commit({
      farm,
      cursor: position,
      clearThings: true,
      putThings: things,
      dropOwn,
      clockOffsetMs,
    });
    this.#clockOffsetMs = clockOffsetMs;
    this.#cursor = position;
    this.#forgetOwn(dropOwn);
    this.view.replace(farm, things);
    this.#layOn();
    this.#tell();
  }

  /** A picture's moment measures the clock roughly, before anything was sent; what sending measured stands when they agree. */
  #offsetBy(takenAt: string): number {
    const roughMs = Date.parse(takenAt) - this.#tabletMs();
    return Math.abs(roughMs - this.#clockOffsetMs) > CLOCK_TOLERANCE_MS ? roughMs : this.#clockOffsetMs;
  }

  async #takeChanges(after: number): Promise<number | null> {
    const answer = await this.#ports.net.changes(after);
    if (answer.kind !== 'ok') return this.#afterFailure(answer);
    this.#reachedServer();
    if (answer.body.tooOld) return this.#takePicture();
    await this.#inTurn(() => this.#showChanges(answer.body));
    return null;
  }

  async #showChanges({ position, things }: ChangesSince): Promise<void> {
    if (position === this.#cursor && things.length === 0) return;
    const dropOwn = this.#tooOldToKeep(position);
    await this.#ports.store.commit({
      cursor: position,
      putThings: things.flatMap(({ kind, state }) => (state ? [{ kind, state } as AnyThing] : [])),
      dropThings: things.filter(({ state }) => state === null),
      dropOwn,
    });
    this.#cursor = position;
    this.#forgetOwn(dropOwn);
    this.view.absorb(things);
    this.#layOn();
    this.#tell();
  }

  async #takeFacts(): Promise<number | null> {
    const { net, clock } = this.#ports;
    if (!net.facts || Math.abs(clock.nowMs() - this.#factsAtMs) < FACTS_MS) return null;
    const answer = await net.facts(this.#factsName);
    if (answer.kind !== 'ok') return this.#afterFailure(answer);
    this.#factsAtMs = clock.nowMs();
    const fresh = answer.body;
    if (fresh === null) return null;
    this.#factsName = fresh.name;
    await this.#inTurn(async () => {
      await this.#ports.store.commit({ farm: fresh.farm });
      this.view.setFarm(fresh.farm);
      this.#layOn();
      this.#tell();
    });
    return null;
  }

  #afterFailure(answer: Exclude<NetAnswer<unknown>, { kind: 'ok' }>): number {
    if (answer.kind === 'sign-in') {
      this.#reachedServer();
      this.#needsSignIn = true;
      return STOPPED_MS;
    }
    if (answer.kind === 'problem') {
      this.#reachedServer();
      this.#stopped = { code: answer.code, detail: answer.detail };
      return STOPPED_MS;
    }
    if (answer.kind === 'busy') return Math.max(answer.afterMs, this.#failed());
    return this.#failed();
  }

  #failed(): number {
    this.#failures += 1;
    this.#reached = false;
    return backoffMs(this.#failures, this.#ports.random.fraction());
  }

  #reachedServer(): void {
    this.#reached = true;
    this.#needsSignIn = false;
    this.#stopped = null;
  }

  #wake(delayMs: number): void {
    this.#cancelTimer();
    if (this.#closed) return;
    this.#cancelTimer = this.#ports.schedule.after(delayMs, () => void this.#run());
  }

  // --- the store -----------------------------------------------------------------------------------------------------

  async #reload(): Promise<void> {
    const { device, clockOffsetMs, cursor, farm, things, own } = await this.#ports.store.load();
    this.#device = device;
    this.#clockOffsetMs = clockOffsetMs;
    this.#cursor = cursor;
    this.#own = own;
    this.view.replace(farm, things);
    this.#layOn();
  }

  async #refreshOwn(): Promise<void> {
    const { device, own } = await this.#ports.store.own();
    this.#device = device ?? this.#device;
    const grown = own.length !== this.#own.length || own.at(-1)?.id !== this.#own.at(-1)?.id;
    this.#own = own;
    if (grown) this.#layOn();
  }

  async #saveOwn(changed: readonly OwnEntry[], more: StoreChange = {}): Promise<void> {
    if (changed.length === 0) return;
    await this.#ports.store.commit({ ...more, putOwn: changed });
    const byId = new Map(changed.map((entry) => [entry.id, entry]));
    const known = new Set(this.#own.map(({ id }) => id));
    const added = changed.filter(({ id }) => !known.has(id));
    this.#own = [...this.#own.map((entry) => byId.get(entry.id) ?? entry), ...added].sort(
      (a, b) => a.sequence - b.sequence,
    );
  }

  /** Sends what waits under another device id, counted from 1. Ids of entries stay, so nothing can be recorded twice. */
  async #renumber(deviceId: string, enrolled: boolean): Promise<void> {
    const waiting = this.#own.filter(({ state }) => state === 'unsent').sort((a, b) => a.sequence - b.sequence);
    const gone = this.#own.filter(({ state }) => state !== 'unsent');
    const renumbered = waiting.map((entry, index) => ({ ...entry, sequence: index + 1 }));
    // Entries of the earlier count can no longer be sent again under it: numbers below 1 keep them out of the way.
    const retired = gone.map((entry, index) => ({
      ...entry,
      sequence: Math.min(entry.sequence, 0) - gone.length + index,
    }));
    const device = { id: deviceId, nextSequence: renumbered.length + 1, enrolled };
    await this.#ports.store.commit({ device, putOwn: [...retired, ...renumbered] });
    this.#device = device;
    this.#own = [...retired, ...renumbered];
  }

  #tooOldToKeep(cursor: number): readonly string[] {
    const done = this.#own.filter(
      ({ state, position, settled }) =>
        (state === 'applied' && (position ?? 0) <= cursor) ||
        ((state === 'refused' || state === 'unsendable') && settled),
    );
    return done.slice(0, Math.max(0, done.length - KEEP_SENT)).map(({ id }) => id);
  }

  #forgetOwn(ids: readonly string[]): void {
    const gone = new Set(ids);
    const keepFrom = this.#own.length - KEEP_IMAGES;
    this.#own = this.#own
      .filter(({ id }) => !gone.has(id))
      .map((entry, index) =>
        index < keepFrom && entry.state === 'applied' && entry.images.length > 0 ? { ...entry, images: [] } : entry,
      );
  }

  // --- telling -------------------------------------------------------------------------------------------------------

  #changed(): void {
    this.#tell();
    this.#again = this.#running !== null;
    if (!this.#running && !this.#needsSignIn && !this.#stopped) this.#wake(0);
  }

  #tell(): void {
    this.#status = null;
    for (const listener of this.#listeners) listener();
  }

  #makeStatus(): BenchStatus {
    const unsent = this.#own.filter(({ state }) => state === 'unsent');
    return {
      ready: this.#ready,
      unsent: unsent.length,
      oldestUnsentAtMs: unsent.length === 0 ? null : Math.min(...unsent.map(({ atMs }) => atMs)),
      needsLook: this.#own.filter(({ state, settled }) => (state === 'refused' || state === 'unsendable') && !settled),
      needsSignIn: this.#needsSignIn,
      stopped: this.#stopped,
      sending: this.#sending,
      reached: this.#reached,
      clockOffsetMs: this.#clockOffsetMs,
      clockWrong: Math.abs(this.#clockOffsetMs) > CLOCK_TOLERANCE_MS,
      cursor: this.#cursor,
      deviceId: this.#device?.id ?? null,
    };
  }

  /** One after another: an entry is decided on the state the one before has left. */
  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#turn.then(work, work);
    this.#turn = turn.catch(() => undefined);
    return turn;
  }
}

const ENROL_AGAIN: Stopped = {
  code: 'enrol-again',
  detail: 'Its count of entries no longer fits the server’s. Enrol it again at the desk.',
};

const UNSENT = { state: 'unsent', position: null, refusal: null, settled: false } as const;

export type { FarmFacts };
