import { type CalendarDay, calendarDayAt, orderDemand, remainingDemand } from '@jarfold/domain';
import { type SizeHolding, sizeHoldings } from '../farm/index.js';
import {
  dayFromColumn,
  dayFromColumnOrNull,
  dayToColumn,
  type GrowerTx,
  numberFromColumn,
  type Prisma,
} from '../platform/index.js';

/** A jar that can still be of use, as the situation needs it. */
export interface UsableJar {
  readonly code: string;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly state: 'incubating' | 'ripe' | 'chilled' | 'opened';
  readonly madeOn: CalendarDay;
  readonly ripeOn: CalendarDay | null;
  readonly chilledOn: CalendarDay | null;
  readonly warmedOn: CalendarDay | null;
  readonly openedOn: CalendarDay | null;
  /** Day of the last look at its growth, which found nothing wrong; null: never looked at. */
  readonly seenCleanOn: CalendarDay | null;
  readonly gramsLeft: number;
  readonly roomId: string | null;
  readonly keptAsMother: boolean;
}

/** A planned run or order, with what it still asks for. */
export interface PlannedRun {
  readonly id: string;
  readonly day: CalendarDay;
  readonly strainIds: readonly string[];
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly maxGrams: number;
  readonly priority: number;
  readonly slackDays: number;
}

/** When facts are read, by the database's clock, and the log position they stand at. */
export async function readFactsStamp(tx: GrowerTx, growerId: string): Promise<{ readAt: Date; position: bigint }> {
  const [row] = await tx.$queryRaw<{ readAt: Date }[]>`SELECT clock_timestamp() AS "readAt"`;
  const counter = await tx.benchCounter.findUnique({ where: { growerId }, select: { position: true } });
  return { readAt: row!.readAt, position: counter?.position ?? 0n };
}

/** Whether the farm has a strain and a container size: without either there is nothing to plan with. */
export async function canBePlanned(tx: GrowerTx, growerId: string): Promise<boolean> {
  const strain = await tx.strain.findFirst({ where: { growerId }, select: { id: true } });
  const size = await tx.containerSize.findFirst({ where: { growerId }, select: { id: true } });
  return strain !== null && size !== null;
}

/** Which jars can still be of use: those that hold spawn, are not contaminated and are no blanks. */
export const USABLE = {
  state: { in: ['incubating', 'ripe', 'chilled', 'opened'] },
  blank: false,
  contaminatedOn: null,
  strainId: { not: null },
  generation: { not: null },
} satisfies Prisma.JarWhereInput;

/** Every jar that holds spawn, is not contaminated and is no blank; by code, so that the same facts read the same. */
export async function listUsableJars(tx: GrowerTx, growerId: string, timeZone: string): Promise<UsableJar[]> {
  const rows = await tx.jar.findMany({
    where: { growerId, ...USABLE },
    select: {
      code: true,
      strainId: true,
      generation: true,
      sizeId: true,
      state: true,
      madeOn: true,
      ripeOn: true,
      chilledOn: true,
      warmedOn: true,
      openedOn: true,
      colonisedAt: true,
      leftG: true,
      keptAsMother: true,
      shelf: { select: { roomId: true } },
    },
    orderBy: { code: 'asc' },
  });
  return rows.map((row) => ({
    code: row.code,
    strainId: row.strainId!,
    generation: row.generation!,
    sizeId: row.sizeId,
    state: row.state as UsableJar['state'],
    madeOn: dayFromColumn(row.madeOn),
    ripeOn: dayFromColumnOrNull(row.ripeOn),
    chilledOn: dayFromColumnOrNull(row.chilledOn),
    warmedOn: dayFromColumnOrNull(row.warmedOn),
    openedOn: dayFromColumnOrNull(row.openedOn),
    seenCleanOn: row.colonisedAt === null ? null : calendarDayAt(row.colonisedAt.getTime(), timeZone),
    gramsLeft: numberFromColumn(row.leftG),
    roomId: row.shelf?.roomId ?? null,
    keptAsMother: row.keptAsMother,
  }));
}

/** Planned runs from a day on; by day and id, so that the same facts read the same. */
export async function listPlannedRuns(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<PlannedRun[]> {
  const rows = await tx.bulkRun.findMany({
    where: { growerId, state: 'planned', day: { gte: dayToColumn(from) } },
    include: { strains: { orderBy: { rank: 'asc' } } },
    orderBy: [{ day: 'asc' }, { id: 'asc' }],
  });
  const drawn = await drawnByRun(
    tx,
    growerId,
    rows.map(({ id }) => id),
  );
  const orderIds = rows.flatMap(({ id, kind }) => (kind === 'order' ? [id] : []));
  const handedOver = await jarsHandedOver(tx, growerId, orderIds);
  const sizes = orderIds.length === 0 ? new Map<string, SizeHolding>() : await sizeHoldings(tx, growerId);
  return rows.map((row) => ({
    id: row.id,
    day: dayFromColumn(row.day),
    strainIds: row.strains.map(({ strainId }) => strainId),
    priority: row.priority,
    slackDays: row.slackDays,
    ...(row.kind === 'order'
      ? orderDemand({
          ...{ jars: row.jars!, minShare: numberFromColumn(row.minShare), handedOver: handedOver.get(row.id) ?? 0 },
          ripeGrams: sizes.get(row.sizeId!)!.ripeGrams,
        })
      : remainingDemand(
          {
            minGrams: numberFromColumn(row.minG!),
            targetGrams: numberFromColumn(row.targetG!),
            maxGrams: numberFromColumn(row.maxG!),
          },
          drawn.get(row.id) ?? 0,
        )),
  }));
}

/** Jars given to each order: unopened ones of its size that went whole. Grams of others count for nobody's jars. */
export async function jarsHandedOver(
  tx: GrowerTx,
  growerId: string,
  orderIds: readonly string[],
): Promise<ReadonlyMap<string, number>> {
  if (orderIds.length === 0) return new Map();
  const rows = await tx.$queryRaw<{ readonly id: string; readonly jars: number }[]>`
    SELECT run.id::text, count(DISTINCT jar.id)::int AS jars
      FROM bulk_run run
      JOIN jar_draw draw ON draw.grower_id = run.grower_id AND draw.run_id = run.id
      JOIN jar ON jar.grower_id = draw.grower_id AND jar.id = draw.jar_id
     WHERE run.grower_id = ${growerId}::uuid AND run.id = ANY(${[...orderIds]}::uuid[])
       AND jar.size_id = run.size_id AND draw.mass_g >= jar.made_g
     GROUP BY run.id`;
  return new Map(rows.map(({ id, jars }) => [id, jars]));
}

/** Grams already drawn from jars for each run. */
export async function drawnByRun(
  tx: GrowerTx,
  growerId: string,
  runIds: readonly string[],
): Promise<Map<string, number>> {
  if (runIds.length === 0) return new Map();
  const sums = await tx.jarDraw.groupBy({
    by: ['runId'],
    where: { growerId, runId: { in: [...runIds] } },
    _sum: { massG: true },
  });
  return new Map(sums.map(({ runId, _sum: sum }) => [runId!, sum.massG === null ? 0 : numberFromColumn(sum.massG)]));
}
