import { createHash } from 'node:crypto';
import type { BenchFacts } from '@jarfold/contracts';
import { addDays, type CalendarDay, containerValues, referenceRipeGrams, strainValues } from '@jarfold/domain';
import { farmGrain, listRooms, listShelves, listSizes, listStrains, type StoredSettings } from '../farm/index.js';
import type { GrowerTx } from '../platform/index.js';
import { listRuns } from '../runs/index.js';

type Lists = Pick<BenchFacts, 'farm' | 'settings' | 'staff' | 'strains' | 'sizes' | 'rooms' | 'shelves' | 'runs'>;

/** Runs that are over stay a while, so that a late harvest finds its run. */
const RUNS_BACK_DAYS = 120;

/** The farm's lists as a tablet needs them: with the values that hold, whoever they come from. */
export async function listsForTablet(
  tx: GrowerTx,
  growerId: string,
  today: CalendarDay,
  settings: StoredSettings,
): Promise<Lists> {
  const grain = farmGrain(settings);
  const referenceG = referenceRipeGrams(grain);
  const { name, timeZone, altitudeM, targetMoisture } = settings;
  return {
    farm: { growerId, name, timeZone },
    settings: { grain: settings.grain, targetMoisture, altitudeM, openedLifeDays: settings.rhythm.openedLifeDays },
    staff: await staffAtWork(tx, growerId),
    strains: (await listStrains(tx, growerId)).map((strain) => {
      const values = strainValues(strain.speciesKey, strain, referenceG);
      return {
        id: strain.id,
        shortCode: strain.code,
        name: strain.name,
        speciesKey: strain.speciesKey,
        lastGeneration: values.lastGeneration.value,
        mayBeChilled: values.mayBeChilled.value,
        inoculumG: values.inoculumGramsPerContainer.value,
        daysToRipe: values.daysToRipe.value,
        warmLifeDays: values.warmLifeDays.value,
        coldLifeDays: values.coldLifeDays.value,
        archived: strain.archived,
      };
    }),
    sizes: await sizesForTablet(tx, growerId, grain),
    rooms: (await listRooms(tx, growerId)).map(({ id, name, kind, archived }) => ({ id, name, kind, archived })),
    shelves: (await listShelves(tx, growerId)).map(({ id, roomId, name, rows, placesPerRow, archived }) => ({
      ...{ id, roomId, name, rows, placesPerRow, archived },
    })),
    runs: await runsForTablet(tx, growerId, today),
  };
}

/** Tells one state of the facts from another; the moment they were read at is no part of it. */
export function factsTag(facts: BenchFacts): string {
  const { takenAt: _, position, ...content } = facts;
  const digest = createHash('sha256').update(JSON.stringify(content)).digest('base64url').slice(0, 22);
  return `"${position}-${digest}"`;
}

async function staffAtWork(tx: GrowerTx, growerId: string): Promise<Lists['staff']> {
  const rows = await tx.staff.findMany({
    where: { growerId, active: true },
    include: { name: true },
    orderBy: { createdAt: 'asc' },
  });
  return rows.map(({ id, role, name }) => ({
    id,
    name: name?.name ?? '',
    role: role as Lists['staff'][number]['role'],
  }));
}

async function sizesForTablet(
  tx: GrowerTx,
  growerId: string,
  grain: ReturnType<typeof farmGrain>,
): Promise<Lists['sizes']> {
  return (await listSizes(tx, growerId)).map((size) => {
    const { container, carrier } = size;
    const values = containerValues(size, grain);
    return {
      ...{ id: size.id, name: size.name, container, carrier, volumeMl: size.volumeMl },
      ripeG: values.ripeGrams.value,
      dryGrainG: carrier === 'grain' ? values.dryGrainG.value : null,
      inoculumFactor: size.inoculumFactor,
      archived: size.archived,
    };
  });
}

async function runsForTablet(tx: GrowerTx, growerId: string, today: CalendarDay): Promise<Lists['runs']> {
  const runs = await listRuns(tx, growerId, { from: addDays(today, -RUNS_BACK_DAYS), state: 'all' });
  return runs
    .filter(({ state }) => state !== 'cancelled')
    .map((run) => ({
      ...{ id: run.id, name: run.name, day: run.day, open: run.state === 'planned', strainIds: [...run.strainIds] },
      ...{ minG: run.minGrams, targetG: run.targetGrams },
      order: run.kind === 'bulk' ? null : { sizeId: run.sizeId, jars: run.jars, handedOver: run.handedOver },
    }));
}
