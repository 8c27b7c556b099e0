import { BenchCore } from './bench-core.js';
import { httpNet } from './http-net.js';
import { IdbStore } from './idb-store.js';
import type { LockPort, StoreChange } from './ports.js';

const NEWS = 'jarfold-bench-news';

export interface BrowserBench {
  readonly core: BenchCore;
  readonly store: IdbStore;
}

/** The core on this browser: IndexedDB, fetch, Web Locks, timers; woken by the network, the page and other windows. */
export async function openBrowserBench(growerId: string): Promise<BrowserBench> {
  const store = await IdbStore.open(growerId);
  const news = new BroadcastChannel(`${NEWS}-${growerId}`);
  const core = new BenchCore({
    clock: { nowMs: () => Date.now() },
    random: { uuid: () => crypto.randomUUID(), fraction: () => Math.random() },
    schedule: {
      after: (delayMs, run) => {
        const timer = setTimeout(run, delayMs);
        return () => clearTimeout(timer);
      },
    },
    lock: webLock,
    net: httpNet(growerId),
    store: announcing(store, () => news.postMessage('changed')),
    report: (fault) => reportError(fault),
  });
  await core.start();
  news.addEventListener('message', () => void core.reloadFromStore());
  window.addEventListener('online', () => void core.syncNow());
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void core.syncNow();
  });
  return { core, store };
}

const webLock: LockPort = {
  tryHold: (name, work) =>
    navigator.locks.request(name, { ifAvailable: true }, async (lock) => (lock ? work() : ('held' as const))),
};

/** Other windows learn of what is written here and not of what they wrote themselves. */
function announcing(store: IdbStore, announce: () => void) {
  return {
    load: () => store.load(),
    device: () => store.device(),
    own: () => store.own(),
    append: async (entries: Parameters<IdbStore['append']>[0]) => {
      const stored = await store.append(entries);
      announce();
      return stored;
    },
    commit: async (change: StoreChange) => {
      await store.commit(change);
      if (change.putOwn || change.putThings || change.farm !== undefined) announce();
    },
  };
}
