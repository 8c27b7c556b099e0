import { describe, expect, it } from '@jest/globals';
import { inoculated, jarsSeen, offline, received, STAFF, saved, started, uuid } from './bench-core.test-support.js';
import { FakeServer } from './fake-server.test-support.js';

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
