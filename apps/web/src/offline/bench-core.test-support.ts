import type { EntryPayloads } from '@jarfold/domain';
import { BenchCore } from './bench-core.js';
import { FakeServer } from './fake-server.test-support.js';
import { MemoryStore } from './memory-store.js';
import type { BenchAction } from './own-entry.js';
import type { CorePorts, NetPort } from './ports.js';

export const STAFF = '00000000-0000-4000-8000-00000000aaaa';
export const { STRAIN, SIZE, SHELF } = FakeServer;

let ids = 0;
/** Ids in order, so that a run is the same each time. */
export function uuid(): string {
  ids += 1;
  return `00000000-0000-4000-8000-${ids.toString(16).padStart(12, '0')}`;
}

/** A tablet whose clock, chance and timers are the test's own. */
export function tablet(
  server: FakeServer,
  {
    store = new MemoryStore(),
    net = server as NetPort,
    clockMs = 0,
    after = (_delayMs: number, _run: () => void) => () => {},
  } = {},
) {
  const clock = { nowMs: () => server.nowMs + clockMs };
  const ports: CorePorts = {
    clock,
    random: { uuid, fraction: () => 0.5 },
    schedule: { after },
    lock: { tryHold: (_name, work) => work() },
    net,
    store,
    report: (fault) => {
      throw fault;
    },
  };
  return { core: new BenchCore(ports), store, ports };
}

/** A tablet that has asked the server once. */
export async function started(server: FakeServer, options: Parameters<typeof tablet>[1] = {}) {
  const made = tablet(server, options);
  await made.core.start();
  await made.core.syncNow();
  return made;
}

/** Jars that come in. */
export const received = (count: number, jarIds = Array.from({ length: count }, uuid)): BenchAction => ({
  kind: 'received',
  payload: {
    lotId: uuid(),
    sizeId: SIZE,
    strainId: STRAIN,
    generation: 1,
    container: 'jar',
    carrier: 'grain',
    jars: jarIds.map((id, at) => ({ id, place: { shelfId: SHELF, row: 1, place: at + 1 } })),
  } satisfies EntryPayloads['received'],
});

/** Jars made from a mother. */
export const inoculated = (mother: string, jars: number): BenchAction => ({
  kind: 'inoculated',
  payload: {
    lotId: uuid(),
    strainId: STRAIN,
    sizeId: SIZE,
    mothers: [{ jarId: mother, amount: { by: 'grams', massG: 40 } }],
    jars: Array.from({ length: jars }, () => ({ id: uuid() })),
  } satisfies EntryPayloads['inoculated'],
});

/** No network at all. */
export const offline: NetPort = {
  send: async () => ({ kind: 'unreachable' }),
  changes: async () => ({ kind: 'unreachable' }),
  snapshot: async () => ({ kind: 'unreachable' }),
};

export const jarsSeen = (core: BenchCore) => [...core.view.all('jar')].map(({ code }) => code).sort();

/** Saves what must be possible. */
export async function saved(core: BenchCore, action: BenchAction) {
  const answer = await core.record(action, STAFF);
  if (answer.outcome !== 'saved') throw new Error(JSON.stringify(answer));
  return answer.entry;
}
