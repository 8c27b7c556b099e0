import { countedAnew } from './counted-anew.js';
import type { BenchPicture, ChangesSince, FarmFacts } from './farm-facts.js';
import { LocalFarm } from './local-farm.js';
import type { NewOwnEntry, OwnEntry } from './own-entry.js';
import { tooOldToKeep, withoutTheOld } from './own-retention.js';
import type { DeviceFacts, StoreChange, StorePort } from './ports.js';
import type { TabletClock } from './tablet-clock.js';
import type { AnyThing } from './thing-shelf.js';

/** Who this tablet is to the server. The store alone counts its entries. */
type DeviceName = Omit<DeviceFacts, 'nextSequence'>;

/**
 * What this tablet keeps: its own entries, the farm's picture and its name at the server. Everything is stored before it
 * is shown, so that no screen shows what a restart would lose.
 */
export class KeptBench {
  readonly view = new LocalFarm();
  readonly #store: StorePort;
  readonly #clock: TabletClock;
  #own: readonly OwnEntry[] = [];
  #device: DeviceName | null = null;
  /** The number after the last entry seen in the store. */
  #nextSequence = 0;
  #cursor: number | null = null;

  constructor(store: StorePort, clock: TabletClock) {
    this.#store = store;
    this.#clock = clock;
  }

  /** This tablet's own entries, oldest first. */
  get own(): readonly OwnEntry[] {
    return this.#own;
  }

  /** Null until the tablet has read or been given its name. */
  get device(): DeviceName | null {
    return this.#device;
  }

  /** Position of the farm's log that the picture stands at; null before the first picture. */
  get cursor(): number | null {
    return this.#cursor;
  }

  // --- reading the store ---------------------------------------------------------------------------------------------

  async load(): Promise<void> {
    const { device, clockOffsetMs, cursor, farm, things, own } = await this.#store.load();
    this.#know(device);
    this.#clock.offsetMs = clockOffsetMs;
    this.#cursor = cursor;
    this.#own = own;
    this.view.replace(farm, things);
    this.layOn();
  }

  /**
   * Takes over the entries other windows of this tablet have stored. Reading all that is kept takes a slow tablet a tenth
   * of a second, in which no tap is heard: it is read only when the store has counted on without this window.
   */
  async refreshOwn(): Promise<void> {
    const now = await this.#store.device();
    if (now && now.id === this.#device?.id && now.nextSequence === this.#nextSequence) return;
    const { device, own } = await this.#store.own();
    if (device) this.#know(device);
    const grown = own.length !== this.#own.length || own.at(-1)?.id !== this.#own.at(-1)?.id;
    this.#own = own;
    if (grown) this.layOn();
  }

  // --- own entries ---------------------------------------------------------------------------------------------------

  /** Gives entries their numbers and keeps them. */
  async append(entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]> {
    const stored = await this.#store.append(entries);
    // Counted on from what was seen, not from what is stored: where another window has added some, the two then differ.
    this.#nextSequence += stored.length;
    this.#own = [...this.#own, ...stored];
    return stored;
  }

  /** Keeps entries as they have become. */
  async saveOwn(changed: readonly OwnEntry[], more: StoreChange = {}): Promise<void> {
    if (changed.length === 0) return;
    await this.#store.commit({ ...more, putOwn: changed });
    const byId = new Map([...this.#own, ...changed].map((entry) => [entry.id, entry]));
    this.#own = [...byId.values()].sort((a, b) => a.sequence - b.sequence);
  }

  /** Keeps what the server's answers made of entries, and the clock's offset that came with them. */
  async saveAnswered(changed: readonly OwnEntry[], clockOffsetMs: number): Promise<void> {
    this.#clock.offsetMs = clockOffsetMs;
    await this.saveOwn(changed, { clockOffsetMs });
  }

  /** Own entries the server's picture does not contain. */
  pending(): readonly OwnEntry[] {
    const cursor = this.#cursor ?? -1;
    return this.#own.filter(
      ({ state, position }) => state === 'unsent' || (state === 'applied' && (position ?? 0) > cursor),
    );
  }

  /** Shows own entries on top of the picture. Answers which of them the rules refuse here. */
  layOn(): ReadonlySet<string> {
    return this.view.layOn(this.pending(), this.#own);
  }

  // --- the tablet's name ---------------------------------------------------------------------------------------------

  /** The name of a tablet that never had one. */
  async nameFirst(deviceId: string): Promise<void> {
    const device = { id: deviceId, nextSequence: 1 };
    await this.#store.commit({ device });
    this.#know(device);
  }

  /**
   * Sends what waits under another device id, counted from 1.
   * @param enrolled the id was given by the server: this tablet may send under no other
   */
  async rename(deviceId: string, enrolled: boolean): Promise<void> {
    const { retired, waiting } = countedAnew(this.#own);
    const device = { id: deviceId, nextSequence: waiting.length + 1, enrolled };
    await this.#store.commit({ device, putOwn: [...retired, ...waiting] });
    this.#know(device);
    this.#own = [...retired, ...waiting];
  }

  #know(device: DeviceFacts | null): void {
    this.#device = device;
    this.#nextSequence = device?.nextSequence ?? 0;
  }

  // --- the farm's picture --------------------------------------------------------------------------------------------

  async takePicture({ position, farm, things }: BenchPicture): Promise<void> {
    const dropOwn = tooOldToKeep(this.#own, position);
    const clockOffsetMs = this.#clock.offsetByPicture(farm.takenAt);
    await this.#store.commit({ farm, cursor: position, clearThings: true, putThings: things, dropOwn, clockOffsetMs });
    this.#clock.offsetMs = clockOffsetMs;
    this.#cursor = position;
    this.#own = withoutTheOld(this.#own, dropOwn);
    this.view.replace(farm, things);
    this.layOn();
  }

  async takeChanges({ position, things }: ChangesSince): Promise<void> {
    const dropOwn = tooOldToKeep(this.#own, position);
    await this.#store.commit({
      cursor: position,
      putThings: things.flatMap(({ kind, state }) => (state ? [{ kind, state } as AnyThing] : [])),
      dropThings: things.filter(({ state }) => state === null),
      dropOwn,
    });
    this.#cursor = position;
    this.#own = withoutTheOld(this.#own, dropOwn);
    this.view.absorb(things);
    this.layOn();
  }

  async takeFacts(farm: FarmFacts): Promise<void> {
    await this.#store.commit({ farm });
    this.view.setFarm(farm);
    this.layOn();
  }

  /** Forgets the farm; own entries stay. */
  async forgetFarm(): Promise<void> {
    await this.#store.commit({ farm: null, cursor: null, clearThings: true });
    this.#cursor = null;
    this.view.replace(null, []);
  }
}
