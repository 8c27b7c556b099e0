import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { jarsSeen, offline, received, STAFF, saved, started, tablet, uuid } from './bench-core.test-support.js';
import { FakeServer } from './fake-server.test-support.js';
import { MemoryStore } from './memory-store.js';

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
