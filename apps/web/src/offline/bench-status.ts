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
  /** There is no farm here yet, and the server is being asked for it. */
  readonly fetching: boolean;
  /** Whether the last try reached the server. */
  readonly reached: boolean;
  /** Whether the last try did not: false also before the first. */
  readonly lost: boolean;
  readonly clockOffsetMs: number;
  readonly clockWrong: boolean;
  readonly cursor: number | null;
  readonly deviceId: string | null;
  /** Another number whenever the farm as this tablet sees it may have changed. */
  readonly viewVersion: number;
}

export function statusOf(
  kept: KeptBench,
  clock: TabletClock,
  standing: ServerStanding,
  now: { readonly ready: boolean; readonly exchanging: boolean },
): BenchStatus {
  const unsent = kept.own.filter(({ state }) => state === 'unsent');
  return {
    ready: now.ready,
    unsent: unsent.length,
    oldestUnsentAtMs: unsent.length === 0 ? null : Math.min(...unsent.map(({ atMs }) => atMs)),
    needsLook: kept.own.filter(({ state, settled }) => (state === 'refused' || state === 'unsendable') && !settled),
    needsSignIn: standing.needsSignIn,
    stopped: standing.stopped,
    fetching: now.exchanging && kept.cursor === null,
    reached: standing.reached,
    lost: standing.lost,
    clockOffsetMs: clock.offsetMs,
    clockWrong: clock.isWrong(),
    cursor: kept.cursor,
    deviceId: kept.device?.id ?? null,
    viewVersion: kept.view.version,
  };
}

/** Whether two say the same, so that nothing has to be drawn anew. */
export function saysTheSame(one: BenchStatus, other: BenchStatus): boolean {
  const { needsLook: oneLook, ...oneRest } = one;
  const { needsLook: otherLook, ...otherRest } = other;
  const names = Object.keys(oneRest) as (keyof typeof oneRest)[];
  return (
    names.every((name) => oneRest[name] === otherRest[name]) &&
    oneLook.length === otherLook.length &&
    oneLook.every((entry, index) => entry === otherLook[index])
  );
}
