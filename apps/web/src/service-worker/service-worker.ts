/**
 * Lets the bench start without the server. It keeps the files of one version of the bench together, gives a page only
 * files of the version it was loaded with, and never touches what the service answers under /api: what is true about the
 * farm is kept by the bench itself and not by a cache.
 */

/** Filled in when the pages are built: the version's name and its files. */
declare const __BENCH_FILES__: { readonly version: string; readonly files: readonly string[] };

interface WorkerScope {
  readonly location: Location;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(
    type: 'install' | 'activate',
    listen: (event: { waitUntil(work: Promise<unknown>): void }) => void,
  ): void;
  addEventListener(type: 'message', listen: (event: MessageEvent) => void): void;
  addEventListener(
    type: 'fetch',
    listen: (event: { readonly request: Request; respondWith(answer: Promise<Response>): void }) => void,
  ): void;
}
const worker = globalThis as unknown as WorkerScope;

const PREFIX = 'jarfold-bench-';
const CACHE = PREFIX + __BENCH_FILES__.version;
const PAGE = '/index.html';
const NETWORK_PATIENCE_MS = 4000;

worker.addEventListener('install', (event) => event.waitUntil(keepVersion()));
worker.addEventListener('activate', (event) => event.waitUntil(dropOlderVersions().then(() => worker.clients.claim())));

// A new version waits until somebody at the bench says so.
worker.addEventListener('message', (event) => {
  if (event.data === 'take-over') void worker.skipWaiting();
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin) return;
  if (/^\/(api|problems|healthz|readyz)(\/|$)/.test(url.pathname)) return;
  if (request.mode === 'navigate') event.respondWith(page(request, url));
  else if (__BENCH_FILES__.files.includes(url.pathname)) event.respondWith(keptFile(request));
});

async function keepVersion(): Promise<void> {
  const cache = await caches.open(CACHE);
  await cache.addAll(__BENCH_FILES__.files.map((file) => new Request(file, { cache: 'reload' })));
}

async function dropOlderVersions(): Promise<void> {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(older.map((name) => caches.delete(name)));
}

/** The bench starts from what is kept, so that page and scripts are of one version; the desk asks the server first. */
async function page(request: Request, url: URL): Promise<Response> {
  const kept = await (await caches.open(CACHE)).match(PAGE);
  if (!kept) return fetch(request);
  if (/^\/bench(\/|$)/.test(url.pathname)) return kept;
  try {
    return await fetch(request, { signal: AbortSignal.timeout(NETWORK_PATIENCE_MS) });
  } catch {
    return kept;
  }
}

async function keptFile(request: Request): Promise<Response> {
  const kept = await (await caches.open(CACHE)).match(new URL(request.url).pathname);
  return kept ?? fetch(request);
}
