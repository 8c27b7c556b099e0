import { useSyncExternalStore } from 'react';

/** A newer version that has been fetched and waits. It comes in when a person says so, never in the middle of an entry. */
let waiting: ServiceWorker | null = null;
let asked = false;
const listeners = new Set<() => void>();

export function useUpdate(): { readonly waiting: boolean; readonly take: () => void } {
  const there = useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => waiting !== null,
  );
  return { waiting: there, take: takeUpdate };
}

function takeUpdate(): void {
  asked = true;
  waiting?.postMessage('take-over');
}

/** Registers the service worker that lets the bench start without the server. */
export async function keepForOffline(): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (asked) window.location.reload();
  });
  const registration = await navigator.serviceWorker.register('/sw.js', { scope: '/' });
  const noticeWaiting = () => {
    waiting = navigator.serviceWorker.controller ? registration.waiting : null;
    for (const listener of listeners) listener();
  };
  noticeWaiting();
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', noticeWaiting);
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') registration.update().catch(() => undefined);
  });
}
