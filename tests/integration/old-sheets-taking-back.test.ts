/** Old spreadsheets on their way out again. */
import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { BenchService, lockLog } from '@jarfold/server';
import { systemIds } from '@jarfold/server/platform';
import { describe, expect, it, jest } from '@jest/globals';
import type { Answer } from '../support/api-app.js';
import { farmDigest } from '../support/farm-digest.js';
import { NOW, oldSheetsFarm } from '../support/old-sheets-farm.js';
import { oldWorkbook } from '../support/old-workbook.js';
import { until } from '../support/until.js';

jest.setTimeout(120_000);

const { send, sayYes, look, outside, work, jarsNow, codesNow, runsNow, chain, answered, at } = oldSheetsFarm();

describe('an old workbook', () => {
  it('is taken back whole, by corrections, and can then be brought in again', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const back = await at.farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`);
    expect(back.body).toMatchObject({ entries: 10, runs: 2, import: { state: 'cancelled' } });
    expect([await jarsNow(), (await runsNow()).map(({ state }: never) => state)]).toEqual([
      [],
      ['cancelled', 'cancelled'],
    ]);
    expect(await chain()).toMatchObject({ intact: true, checked: 20 });
    const again = await send(await oldWorkbook());
    expect(again.body.counts).toMatchObject({ jars: 5, runs: 2, harvests: 2 });
    await sayYes(again, true);
    expect(await work(again.body.import.id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('is brought in again from what was sent once, after it was taken back', async () => {
    const shown = await answered();
    const { id } = shown.body.import;
    await sayYes(shown, true);
    await work(id);
    await at.farm.call('POST', `/api/imports/old-sheets/${id}/take-back`);
    const again = await look(id);
    // What was made new with the file is the farm's own by now.
    expect(again.body).toMatchObject({ questions: [], counts: { jars: 5, runs: 2, harvests: 2, sizes: 0, rooms: 0 } });
    expect((await sayYes(again, true)).status).toBe(200);
    expect(await work(id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
    expect(await chain()).toMatchObject({ intact: true, checked: 30 });
    expect((await at.farm.call('POST', `/api/imports/old-sheets/${id}/take-back`)).body).toMatchObject({ entries: 10 });
    expect(await jarsNow()).toEqual([]);
  });

  it('gives way while somebody holds the log, is taken back when it is free, and stands behind what was said meanwhile', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const before = (await chain()).checked;
    let taking: Promise<Answer> | null = null;
    await at.api.database.growerDb.run(at.farm, async (tx) => {
      await lockLog(tx, at.farm.growerId);
      taking = outside(() => at.farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`));
      await sleep(1500);
    });
    expect((await taking!).body).toMatchObject({ entries: 10, runs: 2 });
    expect([await jarsNow(), (await chain()).checked]).toEqual([[], before + 10]);
    expect(await chain()).toMatchObject({ intact: true });
    // What stands is what a reading of the whole log from its beginning gives.
    const digest = await farmDigest(at.api.database, at.farm.growerId);
    const { growerDb } = at.api.database;
    const staff = { growerId: at.farm.growerId, staffId: at.farm.staffId, role: at.farm.role };
    await new BenchService(growerDb, { now: () => NOW }, systemIds).rebuildProjections(staff);
    expect(await farmDigest(at.api.database, at.farm.growerId)).toEqual(digest);
  });

  it('is not taken back by half when one of its entries is corrected while that is decided', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const takeBack = () => at.farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`);
    const { growerDb, sql } = at.api.database;
    const before = (await chain()).checked;
    const [picked] = await sql<{ id: string }>(
      `SELECT id::text FROM bench_entry WHERE grower_id = '${at.farm.growerId}' AND kind = 'harvested'
        ORDER BY position DESC LIMIT 1`,
    );
    const staff = { growerId: at.farm.growerId, staffId: at.farm.staffId, role: at.farm.role };
    const bench = new BenchService(growerDb, { now: () => NOW }, systemIds);
    let taking: Promise<Answer> | null = null;
    await growerDb.run(at.farm, async (tx) => {
      // Everything is decided by the time the first of these is to be written.
      for (const table of ['harvest', 'lot', 'jar'])
        await tx.$queryRawUnsafe(`SELECT 1 AS one FROM ${table} FOR UPDATE`);
      taking = outside(takeBack);
      const waiting = `SELECT lock.pid FROM pg_locks lock JOIN pg_stat_activity activity USING (pid)
        WHERE NOT lock.granted AND activity.datname = current_database()`;
      const waits = async () => (await sql(waiting)).length > 0;
      await outside(() => until('the taking back to wait', waits));
      const payload = { entryId: picked!.id, reason: 'Weighed twice' };
      await bench.append(tx, staff, [{ kind: 'corrected', payload }]);
    });
    expect(await taking!).toMatchObject({
      status: 409,
      body: { detail: expect.stringContaining('was corrected while') },
    });
    expect(await chain()).toMatchObject({ intact: true, checked: before + 1 });
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
    expect((await takeBack()).body).toMatchObject({ entries: 9, runs: 2 });
  });

  it('is not taken back once something happened to one of its jars, and says so', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await work(shown.body.import.id);
    const { id } = (await at.farm.call('GET', '/api/stock/jars?code=C1')).body.items[0];
    const entry = {
      id: randomUUID(),
      sequence: 1,
      happenedAt: NOW.toISOString(),
      kind: 'opened',
      payload: { jarIds: [id] },
    };
    await at.farm.call('POST', '/api/bench/entries', {
      deviceId: randomUUID(),
      sentAt: NOW.toISOString(),
      entries: [entry],
    });
    const back = await at.farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`);
    expect(back).toMatchObject({
      status: 422,
      body: {
        detail: expect.stringMatching(/cannot be taken back as a whole: something was recorded about C1 on 2026-11-25/),
      },
    });
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });
});
