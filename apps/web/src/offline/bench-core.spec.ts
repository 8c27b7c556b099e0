import { calendarDay, type EntryPayloads } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { BenchCore } from './bench-core.js';
import { FakeServer } from './fake-server.test-support.js';
import { MemoryStore } from './memory-store.js';
import type { BenchAction } from './own-entry.js';
import type { CorePorts, NetAnswer, NetPort } from './ports.js';

const STAFF = '00000000-0000-4000-8000-00000000aaaa';
const { STRAIN, SIZE, SHELF } = FakeServer;

let ids = 0;
function uuid(): string {
  ids += 1;
  return `00000000-0000-4000-8000-${ids.toString(16).padStart(12, '0')}`;
}

/** A tablet whose clock, chance and timers are the test's own. */
function tablet(
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

async function started(server: FakeServer, options: Parameters<typeof tablet>[1] = {}) {
  const made = tablet(server, options);
  await made.core.start();
  await made.core.syncNow();
  return made;
}

const received = (count: number, jarIds = Array.from({ length: count }, uuid)): BenchAction => ({
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

const inoculated = (mother: string, jars: number): BenchAction => ({
  kind: 'inoculated',
  payload: {
    lotId: uuid(),
    strainId: STRAIN,
    sizeId: SIZE,
    mothers: [{ jarId: mother, amount: { by: 'grams', massG: 40 } }],
    jars: Array.from({ length: jars }, () => ({ id: uuid() })),
  } satisfies EntryPayloads['inoculated'],
});

const offline: NetPort = {
  send: async () => ({ kind: 'unreachable' }),
  changes: async () => ({ kind: 'unreachable' }),
  snapshot: async () => ({ kind: 'unreachable' }),
};

const jarsSeen = (core: BenchCore) => [...core.view.all('jar')].map(({ code }) => code).sort();

async function saved(core: BenchCore, action: BenchAction) {
  const answer = await core.record(action, STAFF);
  if (answer.outcome !== 'saved') throw new Error(JSON.stringify(answer));
  return answer.entry;
}

describe('the tablet without a network', () => {
  it('saves, shows at once, and still has it after a restart', async () => {
    const server = new FakeServer();
    const { store } = await started(server);
    const dark = await started(server, { store, net: offline });
    await saved(dark.core, received(3));
    expect(jarsSeen(dark.core)).toEqual(['OY3-26W48-1/01', 'OY3-26W48-1/02', 'OY3-26W48-1/03']);
    const again = await started(server, { store, net: offline });
    expect(jarsSeen(again.core)).toHaveLength(3);
    expect(again.core.status().unsent).toBe(1);
  });

  it('says how many are unsent and how old the oldest is', async () => {
    const server = new FakeServer();
    const { store } = await started(server);
    const { core } = await started(server, { store, net: offline });
    await saved(core, received(1));
    const firstAtMs = server.nowMs;
    server.nowMs += 3_600_000;
    await saved(core, received(1));
    expect(core.status()).toMatchObject({ unsent: 2, oldestUnsentAtMs: firstAtMs, reached: false });
  });

  it('does not save what cannot have happened, and says why', async () => {
    const { core } = await started(new FakeServer());
    const [jar] = [uuid()];
    await saved(core, received(1, [jar as string]));
    await saved(core, { kind: 'discarded', payload: { jarIds: [jar as string], reason: 'surplus' } });
    const answer = await core.record({ kind: 'shaken', payload: { jarIds: [jar as string] } }, STAFF);
    expect(answer).toMatchObject({ outcome: 'impossible', obstacles: [{ code: 'jar-gone' }] });
  });
});

describe('sending', () => {
  it('an answer that was lost leads to the same entry being sent again and recorded once', async () => {
    const server = new FakeServer();
    const { core } = await started(server, { net: server.losingAnswers(1) });
    await saved(core, received(2));
    await core.syncNow();
    expect(core.status().unsent).toBe(1);
    await core.syncNow();
    expect(core.status().unsent).toBe(0);
    expect(server.log).toHaveLength(1);
  });

  it('a sign-in that ran out pauses and keeps everything', async () => {
    const server = new FakeServer();
    let open = true;
    const net = server.guardedBy(() => open);
    const { core } = await started(server, { net });
    open = false;
    await saved(core, received(1));
    await core.syncNow();
    expect(core.status()).toMatchObject({ needsSignIn: true, unsent: 1 });
    open = true;
    await core.signedIn();
    expect(core.status()).toMatchObject({ needsSignIn: false, unsent: 0 });
    expect(server.log).toHaveLength(1);
  });

  it('a refused entry is shown with its reason and blocks nothing behind it', async () => {
    const server = new FakeServer();
    const jar = uuid();
    const first = await started(server);
    await saved(first.core, received(1, [jar]));
    await first.core.syncNow();
    const second = await started(server);
    await saved(first.core, { kind: 'discarded', payload: { jarIds: [jar], reason: 'surplus' } });
    await first.core.syncNow();
    const refusedHere = await saved(second.core, { kind: 'shaken', payload: { jarIds: [jar] } });
    await saved(second.core, received(1));
    await second.core.syncNow();
    const { needsLook, unsent } = second.core.status();
    expect(needsLook.map(({ id }) => id)).toEqual([refusedHere.id]);
    expect(needsLook[0]?.refusal?.reason).toBe('jar-gone');
    expect(unsent).toBe(0);
    expect(server.log.filter(({ outcome }) => outcome === 'applied')).toHaveLength(3);
    await second.core.putAway(refusedHere.id);
    expect(second.core.status().needsLook).toEqual([]);
  });

  it('an entry the server cannot read is set aside, a note takes its number, and the rest goes on', async () => {
    const server = new FakeServer();
    const { core } = await started(server);
    server.unreadable = (entry) => entry.kind === 'shaken';
    const jar = uuid();
    await saved(core, received(1, [jar]));
    await saved(core, { kind: 'shaken', payload: { jarIds: [jar] } });
    await saved(core, received(1));
    await core.syncNow();
    expect(server.log.map(({ kind, sequence }) => [sequence, kind])).toEqual([
      [1, 'received'],
      [2, 'noted'],
      [3, 'received'],
    ]);
    expect(core.status().needsLook).toMatchObject([{ kind: 'shaken', state: 'unsendable' }]);
  });

  it('a server restored from an older copy gets again what it lost', async () => {
    const server = new FakeServer();
    const { core } = await started(server);
    await saved(core, received(1));
    await saved(core, received(1));
    await core.syncNow();
    server.forgetAfter(1);
    await saved(core, received(1));
    await core.syncNow();
    expect(server.log.map(({ sequence }) => sequence)).toEqual([1, 2, 3]);
    await core.syncNow();
    expect(jarsSeen(core)).toEqual(server.jarCodes());
  });

  it('numbers spent by a copy of this tablet are left behind and the work goes out under a new id', async () => {
    const server = new FakeServer();
    const { core } = await started(server);
    server.spend(core.status().deviceId ?? '', 5);
    await saved(core, received(1));
    await core.syncNow();
    expect(core.status()).toMatchObject({ unsent: 0, stopped: null });
    expect(server.log.filter(({ kind }) => kind === 'received')).toHaveLength(1);
  });

  it('work not sent goes out under the id an enrolment gives', async () => {
    const server = new FakeServer();
    const { store } = await started(server);
    const dark = await started(server, { store, net: offline });
    await saved(dark.core, received(1));
    const enrolled = uuid();
    await dark.core.adoptDevice(enrolled);
    const { core } = await started(server, { store });
    expect(server.log.map(({ deviceId }) => deviceId)).toEqual([enrolled]);
    expect(core.status().unsent).toBe(0);
  });

  it('an enrolled tablet whose numbers are spent stops and asks to be enrolled again; then nothing is missing', async () => {
    const server = new FakeServer();
    const { core } = await started(server);
    const first = uuid();
    await core.adoptDevice(first);
    server.spend(first, 5);
    await saved(core, received(1));
    await core.syncNow();
    expect(core.status()).toMatchObject({ unsent: 1, stopped: { code: 'enrol-again' } });
    await core.adoptDevice(uuid());
    await core.syncNow();
    expect(core.status()).toMatchObject({ unsent: 0, stopped: null });
    expect(server.log).toHaveLength(1);
  });
});

describe('undo', () => {
  it('takes back what was not sent yet, and brings it back again', async () => {
    const server = new FakeServer();
    const { core } = await started(server);
    const entry = await saved(core, received(2));
    const undone = await core.undo(entry.id, STAFF);
    expect(jarsSeen(core)).toEqual([]);
    if (undone.outcome !== 'saved') throw new Error(undone.outcome);
    await core.undo(undone.entry.id, STAFF);
    expect(jarsSeen(core)).toHaveLength(2);
    await core.syncNow();
    expect(jarsSeen(core)).toEqual(server.jarCodes());
  });

  it('takes back what the server has already, without a network', async () => {
    const server = new FakeServer();
    const { core, store } = await started(server);
    const jar = uuid();
    await saved(core, received(1, [jar]));
    const gone = await saved(core, { kind: 'discarded', payload: { jarIds: [jar], reason: 'surplus' } });
    await core.syncNow();
    const dark = await started(server, { store, net: offline });
    await dark.core.undo(gone.id, STAFF);
    expect(dark.core.view.thing('jar', jar)?.goneAs).toBeNull();
    const back = await started(server, { store });
    await back.core.syncNow();
    expect(back.core.view.thing('jar', jar)?.goneAs).toBeNull();
    expect(back.core.status().unsent).toBe(0);
  });

  /** A tablet that made two jars from a mother and took that back, as the server knows too. */
  async function tookBackLot(server: FakeServer) {
    const { core, store } = await started(server);
    const mother = uuid();
    await saved(core, received(1, [mother]));
    const made = await saved(core, inoculated(mother, 2));
    const undone = await core.undo(made.id, STAFF);
    if (undone.outcome !== 'saved') throw new Error(undone.outcome);
    await core.syncNow();
    return { core, store, mother, undone: undone.entry.id };
  }

  it('brings back what was taken back, also when another tablet has worked with the mother since', async () => {
    const server = new FakeServer();
    const { core, store, mother, undone } = await tookBackLot(server);
    const other = await started(server);
    await saved(other.core, { kind: 'shaken', payload: { jarIds: [mother] } });
    await other.core.syncNow();
    await core.syncNow();
    const dark = await started(server, { store, net: offline });
    await dark.core.undo(undone, STAFF);
    expect(jarsSeen(dark.core)).toHaveLength(3);
    expect(dark.core.view.thing('jar', mother)).toMatchObject({ drawnG: 40, shakes: 1 });
    const back = await started(server, { store });
    await back.core.syncNow();
    expect(jarsSeen(back.core)).toHaveLength(3);
    expect(jarsSeen(back.core)).toEqual(server.jarCodes());
    expect(back.core.view.thing('jar', mother)).toMatchObject({ drawnG: 40, shakes: 1 });
  });

  it('shows what the server let it bring back before it has heard what made that possible', async () => {
    const server = new FakeServer();
    const { core, store, mother, undone } = await tookBackLot(server);
    const other = await started(server);
    const gone = await saved(other.core, { kind: 'discarded', payload: { jarIds: [mother], reason: 'surplus' } });
    await other.core.syncNow();
    await core.syncNow();
    await other.core.undo(gone.id, STAFF);
    await other.core.syncNow();
    const deaf = await started(server, { store, net: { ...offline, send: server.send } });
    await deaf.core.undo(undone, STAFF);
    expect(jarsSeen(deaf.core)).toHaveLength(1);
    await deaf.core.syncNow();
    expect(server.log.at(-1)).toMatchObject({ kind: 'corrected', outcome: 'applied' });
    expect(jarsSeen(deaf.core)).toHaveLength(3);
    expect(deaf.core.view.thing('jar', mother)).toMatchObject({ goneAs: 'discarded' });
    const back = await started(server, { store });
    expect(jarsSeen(back.core)).toEqual(server.jarCodes());
    expect(back.core.view.thing('jar', mother)).toMatchObject({ goneAs: null, drawnG: 40 });
  });

  it('shows what it brings back under another code than a lot that has taken its own, until the server has answered', async () => {
    const server = new FakeServer();
    const { core, store } = await started(server);
    const made = await saved(core, received(1));
    const undone = await core.undo(made.id, STAFF);
    if (undone.outcome !== 'saved') throw new Error(undone.outcome);
    await core.syncNow();
    const other = await started(server);
    await saved(other.core, received(1));
    await other.core.syncNow();
    await core.syncNow();
    const dark = await started(server, { store, net: offline });
    await dark.core.undo(undone.entry.id, STAFF);
    expect(jarsSeen(dark.core)).toEqual(['OY3-26W48-1/01', 'OY3-26W48-2/01']);
    const back = await started(server, { store });
    await back.core.syncNow();
    expect(server.log.at(-1)).toMatchObject({ kind: 'corrected', outcome: 'refused' });
    expect(jarsSeen(back.core)).toEqual(['OY3-26W48-1/01']);
  });

  it('names the later entry that rests on it', async () => {
    const { core } = await started(new FakeServer());
    const jar = uuid();
    const made = await saved(core, received(1, [jar]));
    const later = await saved(core, { kind: 'shaken', payload: { jarIds: [jar] } });
    const answer = await core.undo(made.id, STAFF);
    expect(answer).toMatchObject({ outcome: 'in-the-way', entry: { id: later.id } });
    expect(core.view.thing('jar', jar)?.shakes).toBe(1);
  });

  it('does not take the same entry back twice', async () => {
    const { core } = await started(new FakeServer());
    const entry = await saved(core, received(1));
    await core.undo(entry.id, STAFF);
    expect(await core.undo(entry.id, STAFF)).toEqual({ outcome: 'nothing-to-undo' });
  });
});

describe('unsent work as a file', () => {
  it('is taken back on another tablet, once, whoever sends first', async () => {
    const server = new FakeServer();
    const { store } = await started(server);
    const dark = await started(server, { store, net: offline });
    await saved(dark.core, received(2));
    const file = dark.core.unsentFile();
    const other = await started(server);
    expect(await other.core.takeUnsentFile(file)).toEqual({ outcome: 'taken', taken: 1, known: 0 });
    expect(await other.core.takeUnsentFile(file)).toEqual({ outcome: 'taken', taken: 0, known: 1 });
    await other.core.syncNow();
    const back = await started(server, { store });
    expect(back.core.status().unsent).toBe(0);
    expect(server.log).toHaveLength(1);
  });

  it.each([
    ['cut off', (text: string) => text.slice(0, text.length / 2), 'not-json'],
    ['of another program', () => '{"jars": 3}', 'not-this-format'],
    ['of another farm', (text: string) => text.replace(FakeServer.GROWER, STAFF), 'other-farm'],
    [
      'with an entry that says nothing',
      (text: string) => text.replace('"generation": 1', '"generation": "one"'),
      'entry-malformed',
    ],
  ])('%s is refused whole', async (_name, spoil, code) => {
    const server = new FakeServer();
    const { store } = await started(server);
    const dark = await started(server, { store, net: offline });
    await saved(dark.core, received(1));
    const other = await started(server);
    const answer = await other.core.takeUnsentFile(spoil(dark.core.unsentFile()));
    expect(answer).toMatchObject({ outcome: 'refused', fault: { code } });
    expect(other.core.status().unsent).toBe(0);
  });
});

describe('clocks', () => {
  it.each([-86_400_000, 3 * 3_600_000, -1_800_000_000_000])(
    'a tablet off by %d ms learns the offset and keeps the farm’s day',
    async (clockMs) => {
      const server = new FakeServer();
      const { core } = await started(server, { clockMs });
      await saved(core, received(1));
      await core.syncNow();
      const today = await saved(core, received(1));
      await core.syncNow();
      expect(core.status().clockWrong).toBe(true);
      expect(today.day).toBe(calendarDay('2026-11-25'));
      expect(core.status().unsent).toBe(0);
    },
  );
});

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

describe('while hands are at work', () => {
  it('reads all its entries again only when another window has added some', async () => {
    const server = new FakeServer();
    let reads = 0;
    const store = new (class extends MemoryStore {
      override own() {
        reads += 1;
        return super.own();
      }
    })();
    const { core } = await started(server, { store });
    await saved(core, received(1));
    await core.syncNow();
    expect(reads).toBe(0);
    const other = tablet(server, { store });
    await other.core.start();
    const entry = await saved(other.core, received(1));
    await core.syncNow();
    expect(reads).toBe(1);
    expect(core.own().map(({ id }) => id)).toContain(entry.id);
    await core.syncNow();
    expect(reads).toBe(1);
    expect(server.log).toHaveLength(2);
  });

  it('reads them again also where both windows have added some in between', async () => {
    const server = new FakeServer();
    const store = new MemoryStore();
    const { core } = await started(server, { store });
    const other = tablet(server, { store });
    await other.core.start();
    const theirs = await saved(other.core, received(1));
    const mine = await saved(core, received(1));
    await core.syncNow();
    expect(core.own().map(({ id }) => id)).toEqual([theirs.id, mine.id]);
    expect(core.status().unsent).toBe(0);
  });

  it('keeps one status while asking brings nothing new, and has another after a save', async () => {
    const { core } = await started(new FakeServer());
    const before = core.status();
    await core.syncNow();
    expect(core.status()).toBe(before);
    await saved(core, received(1));
    expect(core.status()).not.toBe(before);
    expect(core.status().viewVersion).not.toBe(before.viewVersion);
  });

  it('sends soon after a save but not at once, and the next save does not put it off', async () => {
    const planned: number[] = [];
    const after = (delayMs: number) => {
      planned.push(delayMs);
      return () => {};
    };
    const { core } = await started(new FakeServer(), { after });
    planned.length = 0;
    await saved(core, received(1));
    await saved(core, received(1));
    expect(planned).toHaveLength(1);
    expect(planned[0]).toBeGreaterThan(0);
    expect(planned[0]).toBeLessThan(1000);
  });

  it('says that the server is lost only after a try', async () => {
    const server = new FakeServer();
    const { store } = await started(server);
    const { core } = tablet(server, { store, net: offline });
    await core.start();
    expect(core.status()).toMatchObject({ reached: false, lost: false });
    await core.syncNow();
    expect(core.status().lost).toBe(true);
  });
});

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
