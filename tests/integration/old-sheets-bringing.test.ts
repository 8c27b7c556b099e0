/** Old spreadsheets on their way in: all or nothing, whatever happens meanwhile. */
import { randomUUID } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { lockLog } from '@jarfold/server';
import { AppError } from '@jarfold/server/platform';
import { describe, expect, it, jest } from '@jest/globals';
import type { Answer } from '../support/api-app.js';
import { NOW, oldSheetsFarm } from '../support/old-sheets-farm.js';

jest.setTimeout(120_000);

const { understand, sayYes, look, outside, work, jarsNow, codesNow, runsNow, chain, answers, answered, at } =
  oldSheetsFarm();

describe('an old workbook', () => {
  it('is brought in once when its job is delivered twice', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const became = await Promise.all([work(shown.body.import.id), work(shown.body.import.id)]);
    expect([...became, await work(shown.body.import.id)].sort()).toEqual(['applied', 'nothing-to-do', 'nothing-to-do']);
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('leaves nothing behind when the worker dies before the end, and the next one brings all of it', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const dies = async () => {
      throw new Error('power cut');
    };
    await expect(work(shown.body.import.id, { beforeSwitch: dies })).rejects.toThrow('power cut');
    expect([await jarsNow(), await runsNow(), (await chain()).checked]).toEqual([[], [], 0]);
    expect((await at.farm.call('GET', '/api/farm')).body.sizes).toEqual([]);
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'running',
      result: expect.stringContaining('A fault stopped it, and nothing was brought in'),
    });
    expect(await work(shown.body.import.id)).toBe('applied');
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('fails with its reason when what it says cannot be stored, instead of being tried for ever', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const tooLarge = async () => {
      throw new AppError('invalid-input', 'A value lies outside what can be stored.');
    };
    expect(await work(shown.body.import.id, { beforeSwitch: tooLarge })).toBe('failed');
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'failed',
      result: 'Nothing was brought in. A value lies outside what can be stored.',
    });
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('lets tablets record while it is being written, and stands behind what they said', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    let meanwhile: Answer | null = null;
    const note = async () => {
      const entry = {
        id: randomUUID(),
        sequence: 1,
        happenedAt: NOW.toISOString(),
        kind: 'noted',
        payload: { text: 'meanwhile' },
      };
      meanwhile = await at.farm.call('POST', '/api/bench/entries', {
        deviceId: randomUUID(),
        sentAt: NOW.toISOString(),
        entries: [entry],
      });
    };
    expect(await work(shown.body.import.id, { beforeSwitch: note })).toBe('applied');
    expect((meanwhile as Answer | null)?.body.answers[0]).toMatchObject({ outcome: 'applied', position: 1 });
    expect(await chain()).toMatchObject({ intact: true, checked: 11 });
  });

  it('gives way while somebody holds the log for long, and comes in when it is free', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    let tries = 0;
    let held: Promise<void> = Promise.resolve();
    const holdOnce = async () => {
      tries += 1;
      if (tries > 1) return held;
      await new Promise<void>((locked) => {
        held = at.api.database.growerDb.run(at.farm, async (tx) => {
          await lockLog(tx, at.farm.growerId);
          locked();
          await sleep(1500);
        });
      });
    };
    expect(await work(shown.body.import.id, { beforeSwitch: holdOnce })).toBe('applied');
    expect(tries).toBe(2);
    expect(await codesNow()).toEqual(['C1', 'C2', 'C3', 'C4']);
  });

  it('is not brought in when it is cancelled on the way', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const cancel = async () => {
      expect((await at.farm.call('POST', `/api/imports/${shown.body.import.id}/cancel`)).status).toBe(200);
    };
    expect(await work(shown.body.import.id, { beforeSwitch: cancel })).toBe('cancelled');
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
    // It can be looked at again and brought in after all.
    const again = await look(shown.body.import.id);
    expect(again.body.import.state).toBe('cancelled');
    expect((await sayYes(again, true)).status).toBe(200);
    expect(await work(shown.body.import.id)).toBe('applied');
  });

  it('is not brought in when it is cancelled just as the worker takes it', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    const { id } = shown.body.import;
    let working: Promise<string> = Promise.resolve('not begun');
    await at.api.database.growerDb.run(at.farm, async (tx) => {
      const where = { growerId_id: { growerId: at.farm.growerId, id } };
      await tx.fileImport.update({ where, data: { state: 'cancelled' } });
      working = outside(() => work(id));
      await sleep(500);
    });
    expect(await working).toBe('nothing-to-do');
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('fails with its reason, and nothing of it, when the farm changes while it waits', async () => {
    const shown = await answered();
    await sayYes(shown, true);
    await at.farm.call('POST', '/api/farm/rooms', { name: 'Cold cellar', kind: 'cold' });
    const late = await at.farm.call('POST', '/api/farm/sizes', { name: 'Litre jar', volumeMl: 1000 });
    expect(late.status).toBe(201);
    expect(await work(shown.body.import.id)).toBe('failed');
    expect((await look(shown.body.import.id)).body.import).toMatchObject({
      state: 'failed',
      result: expect.stringContaining('already'),
    });
    expect([await jarsNow(), await runsNow()]).toEqual([[], []]);
  });

  it('is refused when it changed since it was shown, and when a new thing takes a name in use', async () => {
    const shown = await answered();
    const stale = { body: { ...shown.body, seen: 'another' } } as Answer;
    expect((await sayYes(stale, true)).status).toBe(409);
    await at.farm.call('POST', '/api/farm/sizes', { name: 'litre JAR', volumeMl: 900 });
    const again = await understand(shown, answers(shown.body.mapping));
    expect(again.status).toBe(409);
    expect(again.body.errors[0].pointer).toBe('/tables/1.1/words/size/litre');
  });
});
