import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import type { BenchCore } from './bench-core.js';
import { received, STAFF, started, tablet } from './bench-core.test-support.js';
import { FakeServer } from './fake-server.test-support.js';
import { MemoryStore } from './memory-store.js';
import type { NetAnswer, NetPort } from './ports.js';

type Step =
  | { readonly do: 'receive' | 'shake' | 'discard' | 'undo'; readonly tablet: 0 | 1; readonly pick: number }
  | {
      readonly do: 'sync' | 'restart';
      readonly tablet: 0 | 1;
      readonly fate: 'ok' | 'lost' | 'reply-lost' | 'signed-out';
    };

const step: fc.Arbitrary<Step> = fc.oneof(
  fc.record({
    do: fc.constantFrom('receive', 'shake', 'discard', 'undo'),
    tablet: fc.constantFrom(0, 1),
    pick: fc.nat(20),
  }),
  fc.record({
    do: fc.constantFrom('sync', 'restart'),
    tablet: fc.constantFrom(0, 1),
    fate: fc.constantFrom('ok', 'lost', 'reply-lost', 'signed-out'),
  }),
) as fc.Arbitrary<Step>;

/** A wire that does to each request what the step says. */
class Wire implements NetPort {
  fate: Extract<Step, { fate: string }>['fate'] = 'ok';
  constructor(private readonly server: FakeServer) {}
  send: NetPort['send'] = (batch) => this.#carry(() => this.server.send(batch));
  changes: NetPort['changes'] = (after) => this.#carry(() => this.server.changes(after));
  snapshot: NetPort['snapshot'] = () => this.#carry(() => this.server.snapshot());
  async #carry<T>(ask: () => Promise<NetAnswer<T>>): Promise<NetAnswer<T>> {
    if (this.fate === 'lost') return { kind: 'unreachable' };
    if (this.fate === 'signed-out') return { kind: 'sign-in' };
    const answer = await ask();
    return this.fate === 'reply-lost' ? { kind: 'unreachable' } : answer;
  }
}

describe('whatever the network does', () => {
  it('every saved entry is in the log exactly once, and the tablets see what the server has', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 40 }), async (steps) => {
        const server = new FakeServer();
        const wires = [new Wire(server), new Wire(server)];
        const stores = [new MemoryStore(), new MemoryStore()];
        const cores = await Promise.all(
          wires.map(async (net, at) => (await started(server, { net, store: stores[at] as MemoryStore })).core),
        );
        const made: string[] = [];
        for (const [index, now] of steps.entries()) {
          server.nowMs += 60_000 + index;
          await take(now, { cores, wires, stores, made, server });
        }
        for (const wire of wires) wire.fate = 'ok';
        for (let round = 0; round < 3; round += 1) for (const core of cores) await core.signedIn();
        expect(cores.map((core) => core.status().unsent)).toEqual([0, 0]);
        expect(server.log.map(({ id }) => id).sort()).toEqual([...made].sort());
        for (const core of cores) expect(seen(core)).toEqual(server.seen());
      }),
      { numRuns: 60 },
    );
  });
});

function seen(core: BenchCore) {
  return [...core.view.all('jar')].map(({ id, shakes, goneAs }) => ({ id, shakes, goneAs })).sort(byId);
}
const byId = (a: { id: string }, b: { id: string }) => (a.id < b.id ? -1 : 1);

interface Bench {
  readonly cores: BenchCore[];
  readonly wires: readonly Wire[];
  readonly stores: readonly MemoryStore[];
  readonly made: string[];
  readonly server: FakeServer;
}

async function take(now: Step, { cores, wires, stores, made, server }: Bench): Promise<void> {
  const core = cores[now.tablet] as BenchCore;
  const wire = wires[now.tablet] as Wire;
  if ('fate' in now) {
    wire.fate = now.fate;
    if (now.do === 'restart') {
      core.close();
      cores[now.tablet] = tablet(server, { net: wire, store: stores[now.tablet] as MemoryStore }).core;
      await cores[now.tablet]?.start();
    }
    await cores[now.tablet]?.syncNow();
    return;
  }
  const answer = await act(core, now);
  if (answer?.outcome === 'saved') made.push(answer.entry.id);
}

async function act(core: BenchCore, { do: what, pick }: Extract<Step, { pick: number }>) {
  if (what === 'undo') {
    const undoable = core.own().filter((entry) => core.mayUndo(entry));
    const target = undoable[pick % Math.max(1, undoable.length)];
    return target ? core.undo(target.id, STAFF) : null;
  }
  if (what === 'receive') return core.view.farm ? core.record(received(1 + (pick % 3)), STAFF) : null;
  const jars = [...core.view.all('jar')].filter(({ goneAs }) => goneAs === null);
  const jar = jars[pick % Math.max(1, jars.length)];
  if (!jar) return null;
  const jarIds = [jar.id];
  return what === 'shake'
    ? core.record({ kind: 'shaken', payload: { jarIds } }, STAFF)
    : core.record({ kind: 'discarded', payload: { jarIds, reason: 'surplus' } }, STAFF);
}
