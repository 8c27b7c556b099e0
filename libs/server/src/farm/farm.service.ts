import type { Farm, FarmSettings, FarmSettingsPatch, Species } from '@jarfold/contracts';
import { calendarDayAt, containerValues, referenceVolumeMl } from '@jarfold/domain';
import { enqueueReplan } from '../jobs/index.js';
import { type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { grainsJson, roomJson, sizeJson, speciesListJson, strainJson } from './farm.mapper.js';
import { farmGrain } from './farm-grain.js';
import { merged, requireRevision } from './revision.js';
import { listRooms, listShelves } from './rooms.repository.js';
import { lockFarm, readSettings, type StoredSettings, writeSettings } from './settings.repository.js';
import { listSizes } from './sizes.repository.js';
import { listStrains } from './strains.repository.js';

/** The farm as a whole: what the screens need to know about it, and its settings. */
export class FarmService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async farm(ctx: GrowerContext): Promise<Farm> {
    return this.growerDb.read(ctx, async (tx) => {
      const settings = await readSettings(tx, ctx.growerId);
      const rooms = await listRooms(tx, ctx.growerId);
      const shelves = await listShelves(tx, ctx.growerId);
      const strains = await listStrains(tx, ctx.growerId);
      const sizes = await listSizes(tx, ctx.growerId);
      const grain = farmGrain(settings);
      return {
        started: settings.startedAt !== null || strains.length > 0,
        today: calendarDayAt(this.clock.now().getTime(), settings.timeZone),
        settings: settingsJson(settings),
        rooms: rooms.map((room) => roomJson(room, shelves)),
        shelves,
        strains: strains.map((strain) => strainJson(strain, grain)),
        sizes: sizes.map((size) => sizeJson(size, grain)),
        grains: grainsJson(),
      };
    });
  }

  async species(ctx: GrowerContext): Promise<{ items: Species[] }> {
    const settings = await this.growerDb.read(ctx, (tx) => readSettings(tx, ctx.growerId));
    return { items: speciesListJson(farmGrain(settings)) };
  }

  /** @throws AppError `revision-stale`; DomainError when the grain is unknown or wetter than its target */
  async changeSettings(ctx: GrowerContext, revision: number, patch: FarmSettingsPatch): Promise<FarmSettings> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = requireRevision(await readSettings(tx, ctx.growerId), revision, 'set of farm settings');
      const changed = changedSettings(stored, patch);
      await writeSettings(tx, ctx.growerId, changed);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return settingsJson(changed);
    });
  }

  /** The farm's calendar day now. */
  async today(tx: GrowerTx, ctx: GrowerContext): Promise<ReturnType<typeof calendarDayAt>> {
    const { timeZone } = await readSettings(tx, ctx.growerId);
    return calendarDayAt(this.clock.now().getTime(), timeZone);
  }
}

function changedSettings(stored: StoredSettings, { rhythm, costs, ...rest }: FarmSettingsPatch): StoredSettings {
  const changed = {
    ...merged<StoredSettings>(stored, rest),
    rhythm: merged(stored.rhythm, rhythm ?? {}),
    costs: merged(stored.costs, costs ?? {}),
    revision: stored.revision + 1,
  };
  // Throws when no jar can be filled with this grain at this moisture.
  containerValues({ volumeMl: referenceVolumeMl, ripeGrams: null }, farmGrain(changed));
  return changed;
}

function settingsJson({ startedAt: _startedAt, stored: _stored, ...settings }: StoredSettings): FarmSettings {
  return settings;
}
