import type { Ageing, DrawnRooms, Jar, JarDetail, JarList, JarQuery, StockOverview } from '@jarfold/contracts';
import {
  type CalendarDay,
  calendarDayAt,
  expiringWithin,
  plannedFateOf,
  stockRows,
  stockTotals,
} from '@jarfold/domain';
import { type NewestFacts, newestFacts } from '../plan/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { drawnRoomsJson } from './drawn-rooms.mapper.js';
import { listForDrawing } from './drawn-rooms.repository.js';
import { type FarmNames, readFarmNames, readStrainNames } from './farm-names.js';
import { isOnHand } from './jar-row.js';
import { daughtersOf, entriesOf, lotCodeOf, mothersOf } from './lineage.repository.js';
import { readCursor, writeCursor } from './page-cursor.js';
import { jarJson, relativeJson, stockRowJson } from './stock.mapper.js';
import { countOnHand, jarsByIds, listOnHand, pageOfJars } from './stock.repository.js';

/** What is on hand, where it stands and how long it lasts. Reads only: stock changes through the bench log. */
export class StockService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async overview(ctx: GrowerContext): Promise<StockOverview> {
    return this.growerDb.read(ctx, async (tx) => {
      const names = await readStrainNames(tx, ctx.growerId);
      const asOf = calendarDayAt(this.clock.now().getTime(), names.settings.timeZone);
      const rows = stockRows(await countOnHand(tx, ctx.growerId), (strainId) => names.rules.get(strainId)!, asOf);
      return { asOf, rows: rows.map((row) => stockRowJson(row, names)), totals: stockTotals(rows) };
    });
  }

  async jars(ctx: GrowerContext, query: JarQuery): Promise<JarList> {
    const after = query.cursor === undefined ? null : readCursor(query.cursor);
    return this.reading(ctx, async (tx, names, asOf) => {
      const jars = await pageOfJars(tx, ctx.growerId, query, after);
      const last = jars.length === query.limit ? jars.at(-1) : undefined;
      return {
        items: jars.map((jar) => jarJson(jar, names, asOf)),
        next: last === undefined ? null : writeCursor(last),
      };
    });
  }

  /** @throws AppError `not-found` */
  async jar(ctx: GrowerContext, jarId: string): Promise<JarDetail> {
    return this.reading(ctx, async (tx, names, asOf) => {
      const [jar] = await jarsByIds(tx, ctx.growerId, [jarId]);
      if (jar === undefined || jar.strainId === null)
        throw new AppError('not-found', 'There is no such jar on this farm.');
      const mothers = await mothersOf(tx, ctx.growerId, jar);
      const daughters = await daughtersOf(tx, ctx.growerId, jar.id);
      return {
        jar: jarJson(jar, names, asOf),
        lotId: jar.lotId,
        lotCode: await lotCodeOf(tx, ctx.growerId, jar.lotId),
        mothers: mothers.map(relativeJson),
        daughters: daughters.jars.map(relativeJson),
        daughtersCount: daughters.count,
        entries: await entriesOf(tx, ctx.growerId, jar),
      };
    });
  }

  async rooms(ctx: GrowerContext): Promise<DrawnRooms> {
    return this.reading(ctx, async (tx, names, asOf) =>
      drawnRoomsJson(await listForDrawing(tx, ctx.growerId), names, asOf),
    );
  }

  /** Ripe jars that expire within so many days, those past it first, with what the newest plan does with each. */
  async ageing(ctx: GrowerContext, days: number): Promise<Ageing> {
    return this.reading(ctx, async (tx, names, asOf) => {
      const ripe = await listOnHand(tx, ctx.growerId, ['ripe', 'chilled', 'opened']);
      const newest = await newestFacts(tx, ctx);
      const shown = ripe.filter(({ state }) => isOnHand(state)).map((jar) => jarJson(jar, names, asOf));
      const items = expiringWithin(shown, days).map((jar) => ({ ...jar, ...plannedUse(newest, jar) }));
      return { asOf, items, ...stockTotals(items.map(({ gramsLeft }) => ({ count: 1, grams: gramsLeft }))) };
    });
  }

  private reading<T>(
    ctx: GrowerContext,
    work: (tx: GrowerTx, names: FarmNames, asOf: CalendarDay) => Promise<T>,
  ): Promise<T> {
    return this.growerDb.read(ctx, async (tx) => {
      const names = await readFarmNames(tx, ctx.growerId);
      return work(tx, names, calendarDayAt(this.clock.now().getTime(), names.settings.timeZone));
    });
  }
}

type PlannedUse = Pick<Ageing['items'][number], 'planned' | 'plannedOn' | 'plannedRun'>;

function plannedUse({ plan, names }: NewestFacts, { code }: Jar): PlannedUse {
  if (plan === null) return { planned: null, plannedOn: null, plannedRun: null };
  const { kind, day, run } = plannedFateOf(plan.plan, code);
  return { planned: kind, plannedOn: day, plannedRun: run === null ? null : (names.get(run) ?? null) };
}
