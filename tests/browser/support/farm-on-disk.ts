import type { Page } from 'playwright-core';
import type { OwnEntry } from '../../../apps/web/src/offline/index.js';
import { thingsIn } from '../../../apps/web/src/offline/thing-groups.js';
import type { AnyThing } from '../../../apps/web/src/offline/thing-shelf.js';

/** What a tablet has on its disk of one farm. */
export interface FarmOnDisk {
  /** In the order of their numbers. */
  readonly own: readonly OwnEntry[];
  readonly cursor: number | null;
  readonly things: readonly AnyThing[];
}

/** Reads a farm's database past the app, as a script of the page could. */
export async function farmOnDisk(page: Page, growerId: string): Promise<FarmOnDisk> {
  const found = await page.evaluate(async (name) => {
    const done = <T>(request: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const db = await done(indexedDB.open(name));
    try {
      const tx = db.transaction(['own', 'facts', 'things']);
      const [own, cursor, things] = await Promise.all([
        done(tx.objectStore('own').getAll()),
        done(tx.objectStore('facts').get('cursor')),
        done(tx.objectStore('things').getAll()),
      ]);
      return { own, cursor: cursor ?? null, things };
    } finally {
      db.close();
    }
  }, `jarfold-bench-${growerId}`);
  const { own, things, cursor } = found as unknown as Omit<FarmOnDisk, 'things'> & { things: readonly string[] };
  return { cursor, things: things.flatMap(thingsIn), own: [...own].sort((a, b) => a.sequence - b.sequence) };
}

/**
 * Puts what a tablet has of a farm back as the first version of its store had it: each thing by itself. No page that has
 * the store open may be there.
 */
export async function backToFirstStore(page: Page, growerId: string): Promise<void> {
  const { things } = await farmOnDisk(page, growerId);
  const single = things.map((thing) => [`${thing.kind}:${thing.state.id}`, thing] as const);
  await page.evaluate(
    async ({ name, rows }) => {
      const done = <T>(request: IDBRequest<T>): Promise<T> =>
        new Promise((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        });
      const now = await done(indexedDB.open(name));
      const tx = now.transaction(['own', 'facts']);
      const [own, facts, names] = await Promise.all([
        done(tx.objectStore('own').getAll()),
        done(tx.objectStore('facts').getAll()),
        done(tx.objectStore('facts').getAllKeys()),
      ]);
      now.close();
      await done(indexedDB.deleteDatabase(name));
      const opening = indexedDB.open(name, 1);
      opening.onupgradeneeded = () => {
        for (const store of ['facts', 'things']) opening.result.createObjectStore(store);
        for (const store of ['own', 'photos']) opening.result.createObjectStore(store, { keyPath: 'id' });
      };
      const first = await done(opening);
      const filling = first.transaction(['own', 'facts', 'things'], 'readwrite');
      for (const [at, fact] of facts.entries()) filling.objectStore('facts').put(fact, names[at]);
      for (const entry of own) filling.objectStore('own').put(entry);
      for (const [key, thing] of rows) filling.objectStore('things').put(thing, key);
      await new Promise((resolve) => {
        filling.oncomplete = resolve;
      });
      first.close();
    },
    { name: `jarfold-bench-${growerId}`, rows: single },
  );
}
