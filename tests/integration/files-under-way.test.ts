/** Files the worker is at: stopped, taken over when they hang, given up when nothing helps; 0 or all in every case. */
import { setTimeout as sleep } from 'node:timers/promises';
import { lockFarm, usualPace } from '@jarfold/server';
import { describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import { fileExporter, fileImporter } from '../support/file-worker.js';
import { NOW, oldSheetsFarm } from '../support/old-sheets-farm.js';
import { FILE_HEADERS } from '../support/recipes/workbooks.js';
import { until } from '../support/until.js';

jest.setTimeout(180_000);

const { sayYes, look, outside, work, jarsNow, codesNow, runsNow, chain, answered, at } = oldSheetsFarm();

const FAST = { tellEveryMs: 50, hangsAfterMs: 200, silentAfterMs: 400, mostTries: 3 };
const clock = { now: () => NOW };
const importer = (watch: Parameters<typeof fileImporter>[2] = {}) =>
  fileImporter(at.api.database.growerDb, clock, watch, FAST);

/** A promise to be kept from outside. */
function gate() {
  let open = () => {};
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { open: () => open(), opened };
}

describe('a file whose session hangs', () => {
  it('is left alone while it is heard of, and taken over once it falls silent', async () => {
    const shown = await answered();
    const { id } = shown.body.import;
    await sayYes(shown, true);
    const stands = gate();
    const hung = gate();
    const beforeSwitch = () => {
      hung.open();
      return stands.opened;
    };
    const first = outside(() => importer({ beforeSwitch }).bringIn(at.farm.growerId, id));
    const ended = first.then(
      () => 'came back',
      () => 'ended',
    );
    await hung.opened;
    const patient = fileImporter(at.api.database.growerDb, clock);
    expect(await patient.bringIn(at.farm.growerId, id)).toBe('nothing-to-do');
    const again = await at.api.database.sql<{ job_key: string }>(
      `SELECT job_key FROM outbox WHERE job_name = 'file-import' AND job_key LIKE '%${id}-again' AND published_at IS NULL`,
    );
    expect(again.length).toBeGreaterThan(0);
    await sleep(1200);
    expect(await importer().bringIn(at.farm.growerId, id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
    stands.open();
    expect(await ended).toBe('ended');
    expect((await look(id)).body.import.state).toBe('applied');
    expect(await chain()).toMatchObject({ intact: true });
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });
});

describe('a file that no try brings in', () => {
  it('is given up in the end, and can be brought in when the fault is gone', async () => {
    const shown = await answered();
    const { id } = shown.body.import;
    await sayYes(shown, true);
    const beforeSwitch = async () => {
      throw new Error('no disk');
    };
    const faulty = importer({ beforeSwitch });
    for (let tried = 1; tried < FAST.mostTries; tried++) {
      await expect(faulty.bringIn(at.farm.growerId, id)).rejects.toThrow('no disk');
    }
    expect(await faulty.bringIn(at.farm.growerId, id)).toBe('failed');
    const failed = await look(id);
    expect(failed.body.import).toMatchObject({ state: 'failed', result: expect.stringContaining('again and again') });
    expect(await jarsNow()).toEqual([]);
    await sayYes(failed, true);
    expect(await work(id)).toBe('applied');
  });

  it('is given up too when every worker dies over it, so that it ends no further one and somebody is told', async () => {
    const shown = await answered();
    const { id } = shown.body.import;
    await sayYes(shown, true);
    // As workers leave it that were killed at it: begun, and nothing said since.
    const died = `UPDATE file_import SET state = 'running', outcome = outcome || jsonb_build_object('tries', $2::int),
                         beat_at = clock_timestamp() - $3::interval WHERE id = $1::uuid`;
    await at.api.database.sql(died, [id, FAST.mostTries, '1 second']);
    const patient = fileImporter(at.api.database.growerDb, clock, {}, { ...FAST, silentAfterMs: 60_000 });
    expect(await patient.bringIn(at.farm.growerId, id)).toBe('nothing-to-do');
    expect((await look(id)).body.import.state).toBe('running');
    expect(await importer().bringIn(at.farm.growerId, id)).toBe('nothing-to-do');
    const failed = await look(id);
    expect(failed.body.import).toMatchObject({ state: 'failed', result: expect.stringContaining('again and again') });
    expect(await jarsNow()).toEqual([]);
    await sayYes(failed, true);
    await at.api.database.sql(died, [id, FAST.mostTries - 1, '1 minute']);
    expect(await importer().bringIn(at.farm.growerId, id)).toBe('applied');
  });

  it('is usually tried more than once', () => {
    expect(usualPace.mostTries).toBeGreaterThan(3);
  });
});

describe('a returned workbook', () => {
  async function changedBook(): Promise<{ readonly id: string; readonly seen: string }> {
    const strainIds = [at.strainId];
    await at.farm.call('POST', '/api/runs', { name: 'R1', day: '2026-12-21', strainIds, substrateWetKg: 40 });
    const asked = await at.farm.call('POST', '/api/workbooks');
    await at.farm.make(asked.body.id);
    const file = await at.farm.call('GET', `/api/workbooks/${asked.body.id}/file`);
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(file.bytes as unknown as ExcelJS.Buffer);
    book.getWorksheet('Bulk runs')!.getCell('D4').value = 77;
    const bytes = Buffer.from(await book.xlsx.writeBuffer());
    const sent = await at.farm.call('POST', '/api/imports/workbook?name=w.xlsx', bytes, FILE_HEADERS);
    expect(sent.body.counts).toMatchObject({ changed: 1 });
    return { id: sent.body.import.id, seen: sent.body.seen };
  }
  const kilograms = async () => (await runsNow())[0].substrateWetKg;
  const state = async (id: string) => (await at.farm.call('GET', `/api/imports/workbook/${id}`)).body.import;

  it('changes nothing when it is stopped on the way', async () => {
    const { id, seen } = await changedBook();
    expect((await at.farm.call('POST', `/api/imports/workbook/${id}/apply`, { seen })).body.state).toBe('waiting');
    let working: Promise<string> = Promise.resolve('not begun');
    await at.api.database.growerDb.run(at.farm, async (tx) => {
      await lockFarm(tx, at.farm.growerId);
      working = outside(() => importer().bringIn(at.farm.growerId, id));
      await outside(() => until('it to be under way', async () => (await state(id)).state === 'running'));
      expect((await outside(() => at.farm.call('POST', `/api/imports/${id}/cancel`))).status).toBe(200);
    });
    expect([await working, await kilograms(), (await state(id)).state]).toEqual(['cancelled', 40, 'cancelled']);
  });

  it('is refused with the reason when the farm changes while it waits, and can then be looked at anew', async () => {
    const { id, seen } = await changedBook();
    await at.farm.call('POST', `/api/imports/workbook/${id}/apply`, { seen });
    const [run] = await runsNow();
    await at.farm.call('PATCH', `/api/runs/${run.id}`, { substrateWetKg: 60 }, { 'if-match': `"${run.revision}"` });
    expect(await at.farm.bringIn(id)).toBe('failed');
    expect(await state(id)).toMatchObject({ state: 'failed', result: expect.stringContaining('The farm changed') });
    expect(await kilograms()).toBe(60);
    const fresh = (await at.farm.call('GET', `/api/imports/workbook/${id}`)).body;
    const choices = { cells: { '*/substrate': 'theirs' } };
    await at.farm.call('POST', `/api/imports/workbook/${id}/apply`, { seen: fresh.seen, choices });
    expect([await at.farm.bringIn(id), await kilograms()]).toEqual(['applied', 77]);
  });
});

describe('a file that is being made', () => {
  it('is made by the next worker when one dies over it, and not kept when it is stopped on the way', async () => {
    const { body } = await at.farm.call('POST', '/api/workbooks');
    await at.api.database.sql(`UPDATE file_export SET state = 'running', beat_at = now() WHERE id = '${body.id}'`);
    expect(await at.farm.make(body.id)).toBe('ready');
    expect((await at.farm.call('GET', `/api/workbooks/${body.id}/file`)).status).toBe(200);
    const second = (await at.farm.call('POST', '/api/workbooks')).body.id;
    const { growerDb } = at.api.database;
    const stops = async () => {
      expect((await at.farm.call('POST', `/api/exports/${second}/cancel`)).body.state).toBe('cancelled');
    };
    expect(await fileExporter(growerDb, clock, stops).make(at.farm.growerId, second)).toBe('cancelled');
    expect((await at.farm.call('GET', `/api/workbooks/${second}/file`)).status).toBe(404);
    const { items } = (await at.farm.call('GET', '/api/exports')).body;
    expect(items.find(({ id }: { id: string }) => id === second)).toMatchObject({
      state: 'cancelled',
      result: 'Stopped; no file was made.',
    });
  });
});
