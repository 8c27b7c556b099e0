import {
  type DBSchema,
  type IDBPDatabase,
  type IDBPObjectStore,
  type IDBPTransaction,
  openDB,
  type StoreNames,
} from 'idb';
import type { FarmFacts } from './farm-facts.js';
import type { NewOwnEntry, OwnEntry } from './own-entry.js';
import type { DeviceFacts, StoreChange, StoredBench, StorePort } from './ports.js';
import { groupsTouched, regrouped, thingsIn } from './thing-groups.js';
import type { AnyThing } from './thing-shelf.js';

/** One database per farm: whoever signs in for another farm on this browser never sees or sends these entries. */
const DATABASE_OF = (growerId: string) => `jarfold-bench-${growerId}`;
/** 2: things lie in groups. */
const VERSION = 2;

interface Facts {
  device: DeviceFacts;
  clockOffsetMs: number;
  cursor: number | null;
  farm: FarmFacts | null;
}

export interface PhotoToSend {
  readonly id: string;
  readonly entryId: string;
  readonly jpegBase64: string;
}

interface BenchDb extends DBSchema {
  facts: { key: keyof Facts; value: Facts[keyof Facts] };
  own: { key: string; value: OwnEntry };
  /** Groups of things as text, see thing-groups. */
  things: { key: string; value: string };
  photos: { key: string; value: PhotoToSend };
}
type BenchTx = IDBPTransaction<BenchDb, ('facts' | 'own' | 'things')[], 'readwrite'>;

/**
 * The tablet's store in IndexedDB. Whatever a person did is written with strict durability, so that "saved" outlives a
 * flat battery as far as the platform lets it; the copy of the farm can be fetched again and is written relaxed.
 */
export class IdbStore implements StorePort {
  readonly #db: IDBPDatabase<BenchDb>;

  private constructor(db: IDBPDatabase<BenchDb>) {
    this.#db = db;
  }

  static async open(growerId: string): Promise<IdbStore> {
    const db = await openDB<BenchDb>(DATABASE_OF(growerId), VERSION, {
      upgrade: async (db, before, _now, tx) => {
        if (before === 1) return groupSingleThings(tx.objectStore('things'));
        db.createObjectStore('facts');
        db.createObjectStore('own', { keyPath: 'id' });
        db.createObjectStore('things');
        db.createObjectStore('photos', { keyPath: 'id' });
      },
      // A newer page in another window waits for this one to let go of the old form.
      blocking: (_current, _blocked, event) => (event.target as IDBDatabase | null)?.close(),
    });
    return new IdbStore(db);
  }

  async load(): Promise<StoredBench> {
    const tx = this.#db.transaction(['facts', 'own', 'things']);
    const facts = tx.objectStore('facts');
    const [device, clockOffsetMs, cursor, farm, things, own] = await Promise.all([
      facts.get('device'),
      facts.get('clockOffsetMs'),
      facts.get('cursor'),
      facts.get('farm'),
      tx.objectStore('things').getAll(),
      tx.objectStore('own').getAll(),
    ]);
    return {
      device: (device as DeviceFacts | undefined) ?? null,
      clockOffsetMs: (clockOffsetMs as number | undefined) ?? 0,
      cursor: (cursor as number | null | undefined) ?? null,
      farm: (farm as FarmFacts | null | undefined) ?? null,
      things: things.flatMap(thingsIn),
      own: inOrder(own),
    };
  }

  async device() {
    return ((await this.#db.get('facts', 'device')) as DeviceFacts | undefined) ?? null;
  }

  async own() {
    const tx = this.#db.transaction(['facts', 'own']);
    const [device, own] = await Promise.all([tx.objectStore('facts').get('device'), tx.objectStore('own').getAll()]);
    return { device: (device as DeviceFacts | undefined) ?? null, own: inOrder(own) };
  }

  async append(entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]> {
    const tx = this.#db.transaction(['facts', 'own'], 'readwrite', { durability: 'strict' });
    const facts = tx.objectStore('facts');
    const device = (await facts.get('device')) as DeviceFacts | undefined;
    if (!device) throw new Error('The store has no device yet.');
    const stored = entries.map((entry, index) => ({ ...entry, sequence: device.nextSequence + index }));
    const writes = [
      facts.put({ ...device, nextSequence: device.nextSequence + stored.length }, 'device'),
      ...stored.map((entry) => tx.objectStore('own').put(entry)),
    ];
    // Asked for now, not when the writes have been answered: a hand waits for it. A write that fails still undoes all.
    tx.commit();
    await Promise.all([...writes, tx.done]);
    return stored;
  }

  async commit(change: StoreChange): Promise<void> {
    const durability = change.putOwn || change.device ? 'strict' : 'relaxed';
    const tx = this.#db.transaction(['facts', 'own', 'things'], 'readwrite', { durability });
    const writes = [...(await thingWrites(tx, change)), ...factWrites(tx, change), ...ownWrites(tx, change)];
    // A save may wait behind it.
    tx.commit();
    await Promise.all([...writes, tx.done]);
  }

  /**
   * Entries the server has answered hold jars and words of the farm as the copy does; refused ones stand in its log for
   * the lead. What it never got stays.
   */
  async dropAnsweredEntries(): Promise<void> {
    const { own } = await this.own();
    const answered = own.filter(({ state, settled }) => state !== 'unsent' && (state !== 'unsendable' || settled));
    await this.commit({ dropOwn: answered.map(({ id }) => id) });
  }

  // --- photos ------------------------------------------------------------------------------------------------------------

  async keepPhoto(photo: PhotoToSend): Promise<void> {
    const tx = this.#db.transaction('photos', 'readwrite', { durability: 'strict' });
    await Promise.all([tx.store.put(photo), tx.done]);
  }

  photos(): Promise<PhotoToSend[]> {
    return this.#db.getAll('photos');
  }

  countPhotos(): Promise<number> {
    return this.#db.count('photos');
  }

  dropPhoto(id: string): Promise<void> {
    return this.#db.delete('photos', id);
  }
}

function factWrites(tx: BenchTx, { device, clockOffsetMs, cursor, farm }: StoreChange): Promise<unknown>[] {
  const facts = tx.objectStore('facts');
  const given = Object.entries({ device, clockOffsetMs, cursor, farm }).filter(([, value]) => value !== undefined);
  return given.map(([key, value]) => facts.put(value as Facts[keyof Facts], key as keyof Facts));
}

function ownWrites(tx: BenchTx, { putOwn = [], dropOwn = [] }: StoreChange): Promise<unknown>[] {
  const own = tx.objectStore('own');
  return [...putOwn.map((entry) => own.put(entry)), ...dropOwn.map((id) => own.delete(id))];
}

async function thingWrites(
  tx: BenchTx,
  { clearThings, putThings = [], dropThings = [] }: StoreChange,
): Promise<Promise<unknown>[]> {
  const things = tx.objectStore('things');
  const cleared = clearThings ? [things.clear()] : [];
  const touched = groupsTouched(putThings, dropThings);
  if (touched.length === 0) return cleared;
  const texts = clearThings ? [] : await Promise.all(touched.map((name) => things.get(name)));
  const stored = new Map(touched.flatMap((name, at) => (texts[at] === undefined ? [] : [[name, texts[at]] as const])));
  const { put, drop } = regrouped(stored, putThings, dropThings);
  return [
    ...cleared,
    ...[...put].map(([name, text]) => things.put(text, name)),
    ...drop.map((name) => things.delete(name)),
  ];
}

/** A tablet that has been in use keeps its copy of the farm: without a network it could not fetch it again. */
async function groupSingleThings(
  things: IDBPObjectStore<BenchDb, StoreNames<BenchDb>[], 'things', 'versionchange'>,
): Promise<void> {
  const single = (await things.getAll()) as unknown as AnyThing[];
  await things.clear();
  await Promise.all([...regrouped(new Map(), single, []).put].map(([name, text]) => things.put(text, name)));
}

function inOrder(own: OwnEntry[]): readonly OwnEntry[] {
  return own.sort((a, b) => a.sequence - b.sequence);
}
