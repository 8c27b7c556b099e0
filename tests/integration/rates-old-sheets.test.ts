import { beforeEach, describe, expect, it, jest } from '@jest/globals';
import { BAG, oldJarList, someSpoiled } from '../support/old-jar-list.js';
import { oldSheetsFarm } from '../support/old-sheets-farm.js';

jest.setTimeout(120_000);

const { at, send, sayYes, work } = oldSheetsFarm();

async function bringIn(file: Buffer): Promise<void> {
  const shown = await send(file, 'jars.csv');
  expect(shown.body).toMatchObject({ questions: [], counts: { jars: 20, refused: 0 } });
  await sayYes(shown);
  expect(await work(shown.body.import.id)).toBe('applied');
}

const lossNow = async () => (await at.farm.call('GET', '/api/rates/planning')).body.items[0].lossRate;

describe('what old spreadsheets teach', () => {
  beforeEach(async () => {
    expect((await at.farm.call('POST', '/api/farm/sizes', BAG)).status).toBe(201);
  });

  it('a list that tells of spoiled jars and of used ones: plans start from the farm’s own losses', async () => {
    expect(await lossNow()).toMatchObject({ origin: 'species', n: 0 });
    await bringIn(oldJarList(someSpoiled));
    expect(await lossNow()).toMatchObject({ origin: 'learned', n: 20 });
    const { body } = await at.farm.call('GET', '/api/rates/contamination?days=365&period=week');
    expect(body).toMatchObject({ lotsCounted: 0, n: 0 });
  });

  it.each([
    ['a list of jars on hand', oldJarList(() => 'ripe')],
    ['a list that forgets what spoiled', oldJarList((_, jar) => (jar < 4 ? 'used up' : 'ripe'))],
    ['a list of losses', oldJarList((_, jar) => (jar === 1 ? 'contaminated' : 'discarded'))],
    ['spawn bought from others', oldJarList(someSpoiled, { Supplier: 'Another farm' })],
  ])('nothing of losses: %s', async (_, file) => {
    await bringIn(file);
    expect(await lossNow()).toMatchObject({ origin: 'species', n: 0 });
  });
});
