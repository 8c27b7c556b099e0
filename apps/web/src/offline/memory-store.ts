import type { NewOwnEntry, OwnEntry } from './own-entry.js';
import type { DeviceFacts, StoreChange, StoredBench, StorePort } from './ports.js';
import { type AnyThing, keyOf } from './thing-shelf.js';

/** A store in memory that behaves as the one on a tablet does: whole changes, in order. It outlives the core that uses it. */
export class MemoryStore implements StorePort {
  #device: DeviceFacts | null = null;
  #clockOffsetMs = 0;
  #cursor: number | null = null;
  #farm: StoredBench['farm'] = null;
  readonly #things = new Map<string, AnyThing>();
  readonly #own = new Map<string, OwnEntry>();

  async load(): Promise<StoredBench> {
    return {
      device: this.#device,
      clockOffsetMs: this.#clockOffsetMs,
      cursor: this.#cursor,
      farm: this.#farm,
      things: [...this.#things.values()],
      own: this.#inOrder(),
    };
  }

  async device() {
    return this.#device;
  }

  async own() {
    return { device: this.#device, own: this.#inOrder() };
  }

  async append(entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]> {
    const device = this.#device;
    if (!device) throw new Error('The store has no device yet.');
    const stored = entries.map((entry, index) => ({ ...entry, sequence: device.nextSequence + index }));
    await this.commit({ device: { ...device, nextSequence: device.nextSequence + stored.length }, putOwn: stored });
    return stored;
  }

  async commit(change: StoreChange): Promise<void> {
    if (change.device) this.#device = change.device;
    if (change.clockOffsetMs !== undefined) this.#clockOffsetMs = change.clockOffsetMs;
    if (change.cursor !== undefined) this.#cursor = change.cursor;
    if (change.farm !== undefined) this.#farm = change.farm;
    if (change.clearThings) this.#things.clear();
    for (const thing of change.putThings ?? [])
      this.#things.set(keyOf({ kind: thing.kind, id: thing.state.id }), thing);
    for (const thing of change.dropThings ?? []) this.#things.delete(keyOf(thing));
    for (const entry of change.putOwn ?? []) this.#own.set(entry.id, structuredClone(entry));
    for (const id of change.dropOwn ?? []) this.#own.delete(id);
  }

  #inOrder(): readonly OwnEntry[] {
    return [...this.#own.values()].sort((a, b) => a.sequence - b.sequence);
  }
}
