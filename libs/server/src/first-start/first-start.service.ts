import { randomUUID } from 'node:crypto';
import type { FirstStart, FirstStarted } from '@jarfold/contracts';
import { findSpecies, placeInOrder, startingShelf } from '@jarfold/domain';
import type { ActionToAppend, BenchService } from '../bench/index.js';
import {
  addRoomIn,
  addShelfIn,
  addSizeIn,
  addStrainIn,
  listStrains,
  lockFarm,
  readSettings,
  writeSettings,
} from '../farm/index.js';
import { enqueueReplan } from '../jobs/index.js';
import type { PlanService } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { addRunIn } from '../runs/index.js';
import { jarsByIds } from '../stock/index.js';

const DEFAULT_JAR_ML = 1000;
const DEFAULT_GENERATION = 1;
/** Jars one entry of the bench log may name. */
const JARS_PER_ENTRY = 100;
const ROOM_NAME = 'Incubation';
const SHELF_NAME = 'Shelf 1';

type Made = Omit<FirstStarted, 'planId'>;

/** Three answers make a farm that can plan: a strain, the ripe jars on hand, and the next run. */
export class FirstStartService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly bench: BenchService,
    private readonly plans: PlanService,
    private readonly clock: Clock,
  ) {}

  /**
   * Makes room, shelf, size, strain, jars and run in one transaction, then the first plan. The jars come in through
   * the bench log like any others, so that the log holds from the first day.
   * @throws AppError `conflict` when the farm was started before
   */
  async start(ctx: GrowerContext, answers: FirstStart): Promise<FirstStarted> {
    const made = await this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      await this.begin(tx, ctx, answers);
      const farm = await this.makeFarm(tx, ctx, answers);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return farm;
    });
    const { id } = await this.plans.replanWhileWaiting(ctx);
    return { ...made, planId: id };
  }

  private async begin(tx: GrowerTx, ctx: GrowerContext, { timeZone }: FirstStart): Promise<void> {
    const settings = await readSettings(tx, ctx.growerId);
    const strains = await listStrains(tx, ctx.growerId);
    if (settings.startedAt !== null || strains.length > 0) {
      throw new AppError(
        'conflict',
        'This farm was started before: add strains, jars and runs on their own screens instead.',
      );
    }
    const started = { startedAt: this.clock.now(), revision: settings.revision + 1 };
    await writeSettings(tx, ctx.growerId, { ...settings, ...started, timeZone: timeZone ?? settings.timeZone });
  }

  private async makeFarm(tx: GrowerTx, ctx: GrowerContext, answers: FirstStart): Promise<Made> {
    const { strain, ripeJars, run } = answers;
    const { spawn } = findSpecies(strain.speciesKey).profile;
    const strainId = await addStrainIn(tx, ctx, strain);
    const sizeId = await addSizeIn(tx, ctx, { volumeMl: answers.jarVolumeMl ?? DEFAULT_JAR_ML });
    const temperatureC = spawn.incubationTemperatureC.value;
    const roomId = await addRoomIn(tx, ctx, { name: ROOM_NAME, kind: 'incubation', temperatureC });
    const shelf = startingShelf(ripeJars);
    const shelfId = await addShelfIn(tx, ctx, { roomId, name: SHELF_NAME, ...shelf });
    const generation = answers.generation ?? DEFAULT_GENERATION;
    const arrivals = receivedEntries(ripeJars, { strainId, sizeId, shelfId, generation }, shelf.placesPerRow);
    if (arrivals.length > 0) await this.bench.append(tx, ctx, arrivals);
    const jars = await jarsByIds(
      tx,
      ctx.growerId,
      arrivals.flatMap(({ payload }) => payload.jars.map(({ id }) => id)),
    );
    const runId = await addRunIn(tx, ctx, { ...run, strainIds: [strainId] });
    return { strainId, roomId, shelfId, sizeId, runId, jarCodes: jars.map(({ code }) => code) };
  }
}

type Received = Extract<ActionToAppend, { kind: 'received' }>;

interface Arrival {
  readonly strainId: string;
  readonly sizeId: string;
  readonly shelfId: string;
  readonly generation: number;
}

/** The ripe jars a farm has when it begins, as received today, placed row by row. */
function receivedEntries(count: number, { shelfId, ...lot }: Arrival, placesPerRow: number): Received[] {
  const jars = Array.from({ length: count }, (_, index) => ({
    id: randomUUID(),
    place: { shelfId, ...placeInOrder(index, placesPerRow) },
  }));
  const entries: Received[] = [];
  for (let from = 0; from < jars.length; from += JARS_PER_ENTRY) {
    const payload = {
      ...lot,
      lotId: randomUUID(),
      container: 'jar' as const,
      carrier: 'grain' as const,
      jars: jars.slice(from, from + JARS_PER_ENTRY),
    };
    entries.push({ kind: 'received', payload });
  }
  return entries;
}
