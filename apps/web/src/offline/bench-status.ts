import type { KeptBench } from './kept-bench.js';
import type { OwnEntry } from './own-entry.js';
import type { ServerStanding, Stopped } from './server-standing.js';
import type { TabletClock } from './tablet-clock.js';

/** How the tablet's work stands, as a screen tells it. */
export interface BenchStatus {
  readonly ready: boolean;
  readonly unsent: number;
  readonly oldestUnsentAtMs: number | null;
  /** Refused or unreadable entries nobody has put away yet, oldest first. */
  readonly needsLook: readonly OwnEntry[];
  /** Somebody has to sign in before anything can be sent; nothing is lost meanwhile. */
  readonly needsSignIn: boolean;
  readonly stopped: Stopped | null;
  readonly sending: boolean;
  /** Whether the last try reached the server. */
  readonly reached: boolean;
  readonly clockOffsetMs: number;
  readonly clockWrong: boolean;
  readonly cursor: number | null;
  readonly deviceId: string | null;
}

export function statusOf(
  kept: KeptBench,
  clock: TabletClock,
  standing: ServerStanding,
  now: Pick<BenchStatus, 'ready' | 'sending'>,
): BenchStatus {
  const unsent = kept.own.filter(({ state }) => state === 'unsent');
  return {
    ready: now.ready,
    unsent: unsent.length,
    oldestUnsentAtMs: unsent.length === 0 ? null : Math.min(...unsent.map(({ atMs }) => atMs)),
    needsLook: kept.own.filter(({ state, settled }) => (state === 'refused' || state === 'unsendable') && !settled),
    needsSignIn: standing.needsSignIn,
    stopped: standing.stopped,
    sending: now.sending,
    reached: standing.reached,
    clockOffsetMs: clock.offsetMs,
    clockWrong: clock.isWrong(),
    cursor: kept.cursor,
    deviceId: kept.device?.id ?? null,
  };
}
