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
  /** Also a mark for each number that was given out, see {@link leftBehind}. */
  facts: { key: string; value: Facts[keyof Facts] | true };
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
  /** As this window read or wrote it last; another window may have counted on since. */
  #device: DeviceFacts | null = null;

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
      device: this.#know(device),
      clockOffsetMs: (clockOffsetMs as number | undefined) ?? 0,
      cursor: (cursor as number | null | undefined) ?? null,
      farm: (farm as FarmFacts | null | undefined) ?? null,
      things: things.flatMap(thingsIn),
      own: inOrder(own),
    };
  }

  async device() {
    return this.#know(await this.#db.get('facts', 'device'));
  }

  async own() {
    const tx = this.#db.transaction(['facts', 'own']);
    const [device, own] = await Promise.all([tx.objectStore('facts').get('device'), tx.objectStore('own').getAll()]);
    return { device: this.#know(device), own: inOrder(own) };
  }

  /**
   * A hand waits for it, and asking the store first takes a slow tablet as long as all the writing: so it counts on from
   * what this window knows. Where another window has counted on, nothing is written and it is asked after all.
   */
  async append(entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]> {
    const known = this.#device;
    const stored = known && (await this.#appendFrom(known, entries).catch(() => null));
    return stored ?? this.#appendFrom(null, entries);
  }

  /** @param known the device, where it is not asked for; rejects, and stores nothing, when the store has counted on since */
  async #appendFrom(known: DeviceFacts | null, entries: readonly NewOwnEntry[]): Promise<readonly OwnEntry[]> {
    const tx = this.#db.transaction(['facts', 'own'], 'readwrite', { durability: 'strict' });
    const facts = tx.objectStore('facts');
    const device = known ?? ((await facts.get('device')) as DeviceFacts | undefined);
    if (!device) throw new Error('The store has no device yet.');
    const { id, nextSequence } = device;
    const stored = entries.map((entry, index) => ({ ...entry, sequence: nextSequence + index }));
    const next = { ...device, nextSequence: nextSequence + stored.length };
    const writes = [
      known ? facts.add(true, leftBehind(device)) : facts.put(true, leftBehind(device)),
      facts.put(next, 'device'),
      ...stored.map((entry) => tx.objectStore('own').put(entry)),
      ...(nextSequence % MARKS_TIDIED === 0 ? [facts.delete(oldMarks(id, nextSequence))] : []),
    ];
    // Asked for now, not when the writes have been answered. A write that fails still undoes all.
    tx.commit();
    await Promise.all([...writes, tx.done]);
    this.#device = next;
    return stored;
  }

  async commit(change: StoreChange): Promise<void> {
    const durability = change.putOwn || change.device ? 'strict' : 'relaxed';
    const tx = this.#db.transaction(['facts', 'own', 'things'], 'readwrite', { durability });
    const before = change.device && ((await tx.objectStore('facts').get('device')) as DeviceFacts | undefined);
    const marks = before ? [tx.objectStore('facts').put(true, leftBehind(before))] : [];
    const writes = [...(await thingWrites(tx, change)), ...factWrites(tx, change), ...ownWrites(tx, change)];
    // A save may wait behind it.
    tx.commit();
    await Promise.all([...marks, ...writes, tx.done]);
    if (change.device) this.#device = change.device;
  }

  #know(device: Facts[keyof Facts] | true | undefined): DeviceFacts | null {
    this.#device = (device as DeviceFacts | undefined) ?? null;
    return this.#device;
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

/**
 * Names the mark that is set when the store counts on from a device and its next number. It can be set once: a window that
 * still takes that number for the next one cannot set it, and so learns that another window was there.
 */
function leftBehind({ id, nextSequence }: DeviceFacts): string {
  return `left ${id} ${numbered(nextSequence)}`;
}

/** No window is so many entries behind: each hears of the others' at once, and looks when it comes to the front. */
const MARKS_KEPT = 500;
const MARKS_TIDIED = 100;

function oldMarks(id: string, nextSequence: number): IDBKeyRange {
  return IDBKeyRange.bound(`left ${id} `, `left ${id} ${numbered(Math.max(0, nextSequence - MARKS_KEPT))}`);
}

/** In the order of the numbers, also as text. */
function numbered(sequence: number): string {
  return String(sequence).padStart(12, '0');
}

function factWrites(tx: BenchTx, { device, clockOffsetMs, cursor, farm }: StoreChange): Promise<unknown>[] {
  const facts = tx.objectStore('facts');
  const given = Object.entries({ device, clockOffsetMs, cursor, farm }).filter(([, value]) => value !== undefined);
  return given.map(([key, value]) => facts.put(value as Facts[keyof Facts], key));
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
