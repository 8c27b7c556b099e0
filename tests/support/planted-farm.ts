import { randomUUID } from 'node:crypto';
import type { World } from './api-app.js';

/** One lot of a planted history: days after `start` it was made, its mother, and how many of its jars went bad. */
export interface PlantedLot {
  readonly day: number;
  readonly mother: number;
  readonly bad: number;
  readonly jars?: number;
  /** Days after inoculation at which the clean ones were found ripe; null: not found ripe. */
  readonly ripeAfter?: number | null;
}

/** A farm with a known past, told to its bench log through the API. */
export interface PlantedFarm {
  readonly strainId: string;
  readonly sizeId: string;
  readonly roomId: string;
  readonly coldShelfId: string;
  readonly motherCodes: readonly string[];
  readonly motherIds: readonly string[];
  /** Jars of each lot, bad ones first. */
  readonly jarIds: readonly (readonly string[])[];
  readonly lotIds: readonly string[];
  log(at: string, kind: string, payload: object): Promise<void>;
  /** Noon of a day of the history, as a timestamp. */
  at(day: number): string;
}

interface Told {
  readonly happenedAt: string;
  readonly kind: string;
  readonly payload: object;
}

/**
 * @param now the clock of the API; a function where the test moves it
 * @param start first day of the history, within the last 400 days
 */
export async function plantFarm(
  world: World,
  {
    now,
    start,
    mothers,
    lots,
  }: {
    readonly now: Date | (() => Date);
    readonly start: string;
    readonly mothers: number;
    readonly lots: readonly PlantedLot[];
  },
): Promise<PlantedFarm> {
  const made = async (list: string, body: object): Promise<string> =>
    (await world.call('POST', `/api/farm/${list}`, body)).body.id;
  const strainId = await made('strains', { speciesKey: 'pleurotus-ostreatus' });
  const sizeId = await made('sizes', { name: randomUUID().slice(0, 8), volumeMl: 1000, ripeGrams: 600 });
  const roomId = await made('rooms', { name: randomUUID(), kind: 'incubation', temperatureC: 24 });
  const coldRoomId = await made('rooms', { name: randomUUID(), kind: 'cold', temperatureC: 4 });
  const shelfId = await made('shelves', { roomId, name: 'Left', rows: 9, placesPerRow: 90 });
  const coldShelfId = await made('shelves', { roomId: coldRoomId, name: 'Left', rows: 9, placesPerRow: 90 });
  const at = (day: number) => new Date(Date.parse(`${start}T12:00:00Z`) + day * 86_400_000).toISOString();
  // A device's entries never run backwards, so each telling is a tablet of its own.
  const send = async (told: readonly Told[]) => {
    const deviceId = randomUUID();
    const entries = told.map((entry, i) => ({ id: randomUUID(), sequence: i + 1, ...entry }));
    for (let i = 0; i < entries.length; i += 100) {
      const batch = {
        deviceId,
        sentAt: (now instanceof Date ? now : now()).toISOString(),
        entries: entries.slice(i, i + 100),
      };
      const { body, text } = await world.call('POST', '/api/bench/entries', batch);
      const refused = body?.answers?.filter(({ outcome }: { outcome: string }) => outcome !== 'applied') ?? [text];
      if (refused.length > 0) throw new Error(JSON.stringify(refused.slice(0, 3)));
    }
  };
  const motherIds = Array.from({ length: mothers }, () => randomUUID());
  const received = {
    ...{ lotId: randomUUID(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain' },
    jars: motherIds.map((id) => ({ id })),
  };
  const jarIds = lots.map(({ jars = 8 }) => Array.from({ length: jars }, () => randomUUID()));
  const lotIds = lots.map(() => randomUUID());
  const told = lots.flatMap(({ day, mother, bad, ripeAfter = 13 }, i) => {
    const all = jarIds[i]!;
    const draw = { jarId: motherIds[mother]!, amount: { by: 'grams', massG: 5 } };
    const jars = all.map((id) => ({ id, place: { shelfId } }));
    const clean = all.slice(bad);
    const look = (ripe: boolean) => ({ jars: clean.map((jarId) => ({ jarId, ripe })) });
    return [
      { day, kind: 'inoculated', payload: { lotId: lotIds[i], strainId, sizeId, mothers: [draw], jars } },
      ...(bad === 0 ? [] : [{ day: day + 6, kind: 'contamination_found', payload: found(all.slice(0, bad)) }]),
      ...(clean.length === 0 || ripeAfter === null
        ? []
        : [
            { day: day + ripeAfter - 3, kind: 'checked', payload: look(false) },
            { day: day + ripeAfter, kind: 'checked', payload: look(true) },
          ]),
    ];
  });
  told.sort((one, other) => one.day - other.day);
  await send([
    { happenedAt: at(-1), kind: 'received', payload: received },
    ...told.map(({ day, kind, payload }) => ({ happenedAt: at(day), kind, payload })),
  ]);
  const jarCode = async (id: string) => (await world.call('GET', `/api/stock/jars/${id}`)).body.jar.code as string;
  return {
    ...{ strainId, sizeId, roomId, coldShelfId, motherIds, jarIds, lotIds, at },
    motherCodes: await Promise.all(motherIds.map(jarCode)),
    log: (happenedAt, kind, payload) => send([{ happenedAt, kind, payload }]),
  };
}

const found = (jarIds: readonly string[]) => ({ jarIds, finding: 'green_mould', sure: true });
