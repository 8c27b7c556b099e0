import type { Page } from 'playwright-core';

/** Everything a script of the page could read back later: IndexedDB, both storages, the text of every cached answer. */
export function everythingStored(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const done = <T>(request: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const parts: unknown[] = [{ ...localStorage }, { ...sessionStorage }, document.cookie];
    for (const { name = '' } of await indexedDB.databases()) {
      const db = await done(indexedDB.open(name));
      for (const store of db.objectStoreNames) {
        const rows = db.transaction(store).objectStore(store);
        parts.push(name, store, await Promise.all([done(rows.getAllKeys()), done(rows.getAll())]));
      }
      db.close();
    }
    for (const name of await caches.keys()) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) {
        const answer = await cache.match(request);
        parts.push(request.url, await answer?.text());
      }
    }
    return JSON.stringify(parts);
  });
}
