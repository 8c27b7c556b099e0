import { LearnedFarms, listStrains } from '@jarfold/server';
import { describe, expect, it, jest } from '@jest/globals';
import type { Answer } from '../support/api-app.js';
import { BAG, oldJarList, someSpoiled } from '../support/old-jar-list.js';
import { NOW, oldSheetsFarm } from '../support/old-sheets-farm.js';
import { plantFarm } from '../support/planted-farm.js';
import { ifMatch } from '../support/recipes/farm.js';

jest.setTimeout(120_000);

const { at, send, sayYes, work } = oldSheetsFarm();
const TODAY = '2026-11-25';

/** A farm whose log has taught it something: eight lots with some jars lost and the others found ripe, and one that grows. */
async function taughtFarm() {
  const looked = Array.from({ length: 8 }, (_, i) => ({ day: 4 * i, mother: i % 2, bad: i % 3 }));
  const lots = [...looked, { day: 80, mother: 0, bad: 0, ripeAfter: null }];
  const planted = await plantFarm(at.farm, { now: NOW, start: '2026-09-01', mothers: 2, lots });
  const kept = new LearnedFarms();
  const read = (farms: LearnedFarms, asOf: string) =>
    at.api.database.growerDb.read(at.farm, async (tx) => {
      const strains = await listStrains(tx, at.farm.growerId);
      return farms.read(tx, at.farm.growerId, asOf as never, strains);
    });
  let last = await read(kept, TODAY);
  /** What is kept is what is read anew; and whether anything was learned from what was done since. */
  const changed = async (asOf = TODAY): Promise<boolean> => {
    const before = last;
    last = await read(kept, asOf);
    expect(last).toEqual(await read(new LearnedFarms(), asOf));
    if (last === before) return false;
    expect(last).not.toEqual(before);
    return true;
  };
  return { planted, changed };
}

const done = ({ status, text }: Answer) => expect(`${status} ${text}`).toMatch(/^20/);

/** Changes a thing of the farm as its screen does. */
async function change(list: string, id: string, body: object): Promise<void> {
  const farm = (await at.farm.call('GET', '/api/farm')).body;
  const thing = farm[list].find((item: { id: string }) => item.id === id);
  done(await at.farm.call('PATCH', `/api/farm/${list}/${id}`, body, ifMatch(thing)));
}

describe('what a farm’s log taught', () => {
  it('is kept while nothing of it changes', async () => {
    const { changed } = await taughtFarm();
    expect(await changed()).toBe(false);
    done(await at.farm.call('POST', '/api/farm/sizes', { name: 'Other', volumeMl: 500, ripeGrams: 300 }));
    expect(await changed()).toBe(false);
  });

  it('is read anew after an entry, and after it was taken back', async () => {
    const { planted, changed } = await taughtFarm();
    const [clean] = planted.jarIds[0]!;
    await planted.log('2026-09-20T12:00:00Z', 'contamination_found', {
      jarIds: [clean],
      finding: 'bacteria',
      sure: true,
    });
    expect(await changed()).toBe(true);
    const said = await at.api.database.growerDb.read(at.farm, (tx) =>
      tx.benchEntry.findFirst({ where: { growerId: at.farm.growerId }, orderBy: { position: 'desc' } }),
    );
    await planted.log('2026-11-25T08:00:00Z', 'corrected', { entryId: said!.id, reason: 'it was another jar' });
    expect(await changed()).toBe(true);
  });

  it('is read anew on another day', async () => {
    const { changed } = await taughtFarm();
    expect(await changed('2026-11-26')).toBe(true);
  });

  it('is read anew when a room is said to be warmer, or a shelf to stand in another', async () => {
    const { planted, changed } = await taughtFarm();
    await change('rooms', planted.roomId, { temperatureC: 20 });
    expect(await changed()).toBe(true);
    const { shelves } = (await at.farm.call('GET', '/api/farm')).body;
    const { id } = shelves.find(({ roomId }: { roomId: string }) => roomId === planted.roomId);
    const cooler = { name: 'Cooler', kind: 'incubation', temperatureC: 18 };
    const room = (await at.farm.call('POST', '/api/farm/rooms', cooler)).body;
    await change('shelves', id, { roomId: room.id });
    expect(await changed()).toBe(true);
  });

  it('is read anew when the owner sets a strain’s own value', async () => {
    const { planted, changed } = await taughtFarm();
    await change('strains', planted.strainId, { lossRate: 0.3 });
    expect(await changed()).toBe(true);
  });

  it('is read anew when old records were brought in, and when they were taken back', async () => {
    done(await at.farm.call('POST', '/api/farm/sizes', BAG));
    const { changed } = await taughtFarm();
    const shown = await send(oldJarList(someSpoiled), 'jars.csv');
    expect(await changed()).toBe(false);
    await sayYes(shown);
    expect(await work(shown.body.import.id)).toBe('applied');
    expect(await changed()).toBe(true);
    done(await at.farm.call('POST', `/api/imports/old-sheets/${shown.body.import.id}/take-back`));
    expect(await changed()).toBe(true);
  });
});
