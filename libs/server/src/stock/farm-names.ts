import type { Jar, Shelf } from '@jarfold/contracts';
import { type LifeRules, referenceRipeGrams, strainValues } from '@jarfold/domain';
import { DEFAULT_CULTURE_LIFE_DAYS } from '@jarfold/domain/planning';
import {
  farmGrain,
  listRooms,
  listShelves,
  listSizes,
  listStrains,
  type RoomRow,
  readSettings,
  type SizeRow,
  type StoredSettings,
  type StrainRow,
} from '../farm/index.js';
import type { GrowerTx } from '../platform/index.js';

/** The farm's lists by id: what jars are called, where they stand and how long they last. */
export interface FarmNames {
  readonly settings: StoredSettings;
  readonly strains: ReadonlyMap<string, StrainRow>;
  readonly sizes: ReadonlyMap<string, SizeRow>;
  readonly rooms: ReadonlyMap<string, RoomRow>;
  readonly shelves: ReadonlyMap<string, Shelf>;
  readonly rules: ReadonlyMap<string, LifeRules>;
}

/** The part of the lists that counting needs. */
export async function readStrainNames(
  tx: GrowerTx,
  growerId: string,
): Promise<Pick<FarmNames, 'settings' | 'strains' | 'rules'>> {
  const settings = await readSettings(tx, growerId);
  const strains = await listStrains(tx, growerId);
  const rules = new Map(strains.map((strain) => [strain.id, lifeRules(strain, settings)]));
  return { settings, strains: byId(strains), rules };
}

export async function readFarmNames(tx: GrowerTx, growerId: string): Promise<FarmNames> {
  return {
    ...(await readStrainNames(tx, growerId)),
    sizes: byId(await listSizes(tx, growerId)),
    rooms: byId(await listRooms(tx, growerId)),
    shelves: byId(await listShelves(tx, growerId)),
  };
}

/** Where a jar stands, or null when it stands on no shelf. */
export function placeOf(
  names: FarmNames,
  {
    shelfId,
    row,
    place,
  }: { readonly shelfId: string | null; readonly row: number | null; readonly place: number | null },
): Jar['place'] {
  const shelf = shelfId === null ? undefined : names.shelves.get(shelfId);
  const room = shelf === undefined ? undefined : names.rooms.get(shelf.roomId);
  if (shelf === undefined || room === undefined) return null;
  return {
    ...{ roomId: room.id, roomName: room.name, roomKind: room.kind },
    ...{ shelfId: shelf.id, shelfName: shelf.name, row, place },
  };
}

function lifeRules(strain: StrainRow, settings: StoredSettings): LifeRules {
  const values = strainValues(strain.speciesKey, strain, referenceRipeGrams(farmGrain(settings)));
  return {
    daysToRipe: values.daysToRipe.value,
    warmLifeDays: values.warmLifeDays.value,
    coldLifeDays: values.coldLifeDays.value,
    openedLifeDays: settings.rhythm.openedLifeDays,
    cultureLifeDays: DEFAULT_CULTURE_LIFE_DAYS,
  };
}

function byId<Thing extends { readonly id: string }>(things: readonly Thing[]): Map<string, Thing> {
  return new Map(things.map((thing) => [thing.id, thing]));
}
