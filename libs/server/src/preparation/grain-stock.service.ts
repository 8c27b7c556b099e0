import type { GrainStock, NewGrainStockEntry } from '@jarfold/contracts';
import {
  addDays,
  type CalendarDay,
  calendarDayAt,
  findGrain,
  type GrainOnHand,
  type GrainOutlook,
  grainOnHand,
  grainOutlook,
  mondayOf,
} from '@jarfold/domain';
import { listSizes, lockFarm, readSettings, type StoredSettings, sameThingOrNull } from '../farm/index.js';
import { newestPlan } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { grainItem, grainNeeds } from './grain-stock.mapper.js';
import {
  findGrainEntry,
  grainUnderWay,
  insertGrainEntry,
  listGrainEntries,
  listGrainTaken,
  type StoredGrainEntry,
} from './grain-stock.repository.js';

/** Grain soaked longer ago than this is no longer on its way into jars. Common practice, no source. */
const UNDER_WAY_DAYS = 3;

/** What grain there is, what the plan needs of it, and when it has to be bought. */
export class GrainStockService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async stock(ctx: GrowerContext): Promise<GrainStock> {
    return this.growerDb.read(ctx, (tx) => this.stockIn(tx, ctx));
  }

  /**
   * Keeps a count or a purchase; the same sent twice is kept once.
   * @throws AppError `invalid-input` for a grain nobody knows, `conflict` when another entry has the id
   */
  async add(ctx: GrowerContext, { id, grain, kind, massG }: NewGrainStockEntry): Promise<GrainStock> {
    if (findGrain(grain)?.key !== grain) throw unknownGrain(grain);
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = await findGrainEntry(tx, ctx.growerId, id);
      const wanted = { id, grain, kind, massG };
      if (sameThingOrNull<StoredGrainEntry>(stored, wanted, 'entry of the grain stock') === null) {
        const atMs = this.clock.now().getTime();
        await insertGrainEntry(tx, ctx.growerId, { ...wanted, atMs, byStaff: ctx.staffId });
      }
      return this.stockIn(tx, ctx);
    });
  }

  private async stockIn(tx: GrowerTx, ctx: GrowerContext): Promise<GrainStock> {
    const settings = await readSettings(tx, ctx.growerId);
    const today = calendarDayAt(this.clock.now().getTime(), settings.timeZone);
    const entries = await listGrainEntries(tx, ctx.growerId);
    const keys = [...new Set([settings.grain, ...entries.map(({ grain }) => grain)])];
    const items: GrainStock['items'] = [];
    for (const key of keys) {
      const onHand = await onHandOf(tx, ctx, key, entries);
      const outlook = key === settings.grain ? await outlookOf(tx, ctx, settings, today, onHand) : null;
      items.push(grainItem(key, onHand, outlook));
    }
    return { today, items };
  }
}

async function onHandOf(
  tx: GrowerTx,
  { growerId }: GrowerContext,
  grain: string,
  entries: readonly StoredGrainEntry[],
): Promise<GrainOnHand> {
  const own = entries.filter((entry) => entry.grain === grain);
  const counts = own.filter(({ kind }) => kind === 'counted');
  const afterMs = counts.at(-1)?.atMs;
  return grainOnHand(own, afterMs === undefined ? [] : await listGrainTaken(tx, growerId, { grain, afterMs }));
}

async function outlookOf(
  tx: GrowerTx,
  { growerId }: GrowerContext,
  settings: StoredSettings,
  today: CalendarDay,
  onHand: GrainOnHand,
): Promise<GrainOutlook | null> {
  const stored = await newestPlan(tx, growerId);
  if (stored === null) return null;
  const since = addDays(today, -UNDER_WAY_DAYS);
  return grainOutlook(
    onHand.state === 'known' ? onHand.onHandG : null,
    grainNeeds(stored.plan, await listSizes(tx, growerId), settings),
    {
      today,
      sunday: addDays(mondayOf(today), 6),
      underWayG: await grainUnderWay(tx, growerId, { grain: settings.grain, since }),
    },
  );
}

function unknownGrain(grain: string): AppError {
  return new AppError('invalid-input', `"${grain}" is no grain of the list; nothing was kept.`, {
    errors: [{ in: 'body', pointer: '/grain', detail: 'Choose a grain of the farm’s list.' }],
  });
}
