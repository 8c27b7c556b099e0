import { calendarDayAt, referenceRipeGrams, strainValues } from '@jarfold/domain';
import { farmGrain } from '../../farm/index.js';
import type { GrowerTx } from '../../platform/index.js';
import { listRuns } from '../../runs/index.js';
import { readFarmNames } from '../../stock/index.js';
import type { UnderstandingQuestion } from './understand-here.js';

type Facts = Pick<UnderstandingQuestion, 'facts' | 'ripeGrams'>;

/** What reading a file needs to know of the farm; archived things are not offered. */
export async function readFarmFacts(tx: GrowerTx, growerId: string, now: Date): Promise<Facts> {
  const names = await readFarmNames(tx, growerId);
  const runs = (await listRuns(tx, growerId, { state: 'all' })).filter(({ state }) => state !== 'cancelled');
  const grams = referenceRipeGrams(farmGrain(names.settings));
  const inUse = <T extends { readonly archived: boolean }>(things: ReadonlyMap<string, T>) =>
    [...things.values()].filter(({ archived }) => !archived);
  const facts = {
    today: calendarDayAt(now.getTime(), names.settings.timeZone),
    strains: inUse(names.strains).map((strain) => ({
      ...{ id: strain.id, code: strain.code, name: strain.name },
      daysToRipe: strainValues(strain.speciesKey, strain, grams).daysToRipe.value,
    })),
    sizes: inUse(names.sizes).map(({ id, name, volumeMl, container, carrier }) => ({
      ...{ id, name, volumeMl, container, carrier },
    })),
    shelves: inUse(names.shelves).flatMap(({ id, name, roomId }) => {
      const room = names.rooms.get(roomId);
      return room === undefined ? [] : [{ id, shelf: name, room: room.name }];
    }),
    runs: runs.map(({ id, name, day }) => ({ id, name, day })),
  };
  return { facts, ripeGrams: grams };
}
