import type { Page } from 'playwright-core';
import type { OwnEntry } from '../../../apps/web/src/offline/index.js';
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
  const { own, ...rest } = found as unknown as FarmOnDisk;
  return { ...rest, own: [...own].sort((a, b) => a.sequence - b.sequence) };
}
