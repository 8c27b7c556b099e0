import { beforeEach, describe, expect, it, jest } from '@jest/globals';
import { oldSheetsFarm } from '../support/old-sheets-farm.js';

jest.setTimeout(120_000);

const { at, send, sayYes, work } = oldSheetsFarm();

/** A list of jars of five lots, four to a lot; each lot's states are told by how many it has of which. */
function listOf(states: (lot: number, jar: number) => string, columns: Record<string, string> = {}): Buffer {
  const rows = [1, 2, 3, 4, 5].flatMap((lot) =>
    [1, 2, 3, 4].map((jar) => {
      const state = states(lot, jar);
      const gone = state === 'ripe' ? '' : `2026-10-1${jar}`;
      return [`L${lot}-${jar}`, `L${lot}`, 'BO1', 1, 'Bag', state, `2026-09-0${lot}`, gone, ...Object.values(columns)];
    }),
  );
  const heading = ['Code', 'Lot', 'Strain', 'Gen', 'Size', 'State', 'Made on', 'Gone on', ...Object.keys(columns)];
  return Buffer.from([heading, ...rows].map((row) => row.join(',')).join('\n'));
}

async function bringIn(file: Buffer): Promise<void> {
  const shown = await send(file, 'jars.csv');
  expect(shown.body).toMatchObject({ questions: [], counts: { jars: 20, refused: 0 } });
  await sayYes(shown);
  expect(await work(shown.body.import.id)).toBe('applied');
}

const lossNow = async () => (await at.farm.call('GET', '/api/rates/planning')).body.items[0].lossRate;

const LOGGED = (lot: number, jar: number) => (jar === 1 && lot > 2 ? 'contaminated' : jar < 4 ? 'used up' : 'ripe');

describe('what old spreadsheets teach', () => {
  beforeEach(async () => {
    const bag = { name: 'Bag', volumeMl: 2000, container: 'bag', carrier: 'sawdust' };
    expect((await at.farm.call('POST', '/api/farm/sizes', bag)).status).toBe(201);
  });

  it('a list that tells of spoiled jars and of used ones: plans start from the farm’s own losses', async () => {
    expect(await lossNow()).toMatchObject({ origin: 'species', n: 0 });
    await bringIn(listOf(LOGGED));
    expect(await lossNow()).toMatchObject({ origin: 'learned', n: 20 });
    const { body } = await at.farm.call('GET', '/api/rates/contamination?days=365&period=week');
    expect(body).toMatchObject({ lotsCounted: 0, n: 0 });
  });

  it.each([
    ['a list of jars on hand', listOf(() => 'ripe')],
    ['a list that forgets what spoiled', listOf((_, jar) => (jar < 4 ? 'used up' : 'ripe'))],
    ['a list of losses', listOf((_, jar) => (jar === 1 ? 'contaminated' : 'discarded'))],
    ['spawn bought from others', listOf(LOGGED, { Supplier: 'Another farm' })],
  ])('nothing of losses: %s', async (_, file) => {
    await bringIn(file);
    expect(await lossNow()).toMatchObject({ origin: 'species', n: 0 });
  });
});
