import type { CalendarDay, GrainStockEntry, GrainTaken } from '@jarfold/domain';
import { dayToColumn, type GrowerTx, numberFromColumn, numberFromColumnOrNull } from '../platform/index.js';

/** A count or a purchase as it is kept. */
export interface StoredGrainEntry extends GrainStockEntry {
  readonly id: string;
  readonly grain: string;
}

interface EntryColumns {
  readonly id: string;
  readonly grain: string;
  readonly kind: string;
  readonly massG: Parameters<typeof numberFromColumn>[0];
  readonly at: Date;
}

/** Every count and purchase, the oldest first. A farm makes a few a month. */
export async function listGrainEntries(tx: GrowerTx, growerId: string): Promise<StoredGrainEntry[]> {
  const rows = await tx.grainStockEntry.findMany({ where: { growerId }, orderBy: [{ at: 'asc' }, { id: 'asc' }] });
  return rows.map(entry);
}

export async function findGrainEntry(tx: GrowerTx, growerId: string, id: string): Promise<StoredGrainEntry | null> {
  const row = await tx.grainStockEntry.findUnique({ where: { growerId_id: { growerId, id } } });
  return row && entry(row);
}

function entry({ id, grain, kind, massG, at }: EntryColumns): StoredGrainEntry {
  return { id, grain, kind: kind as StoredGrainEntry['kind'], massG: numberFromColumn(massG), atMs: at.getTime() };
}

export async function insertGrainEntry(
  tx: GrowerTx,
  growerId: string,
  { atMs, ...columns }: StoredGrainEntry & { readonly byStaff: string | null },
): Promise<void> {
  await tx.grainStockEntry.create({ data: { growerId, ...columns, at: new Date(atMs) } });
}

/** Grain taken for batches of a grain begun after a moment. */
export async function listGrainTaken(
  tx: GrowerTx,
  growerId: string,
  { grain, afterMs }: { readonly grain: string; readonly afterMs: number },
): Promise<GrainTaken[]> {
  // A batch's first step lies on its first day; one day's grace covers every time zone.
  const from = new Date(afterMs - 2 * DAY_MS);
  const rows = await tx.grainBatch.findMany({
    where: { growerId, grain, begunOn: { gte: from } },
    select: { dryGrainG: true, stepAt: true },
  });
  return rows.map(({ dryGrainG, stepAt }) => ({ massG: numberFromColumnOrNull(dryGrainG), atMs: firstStep(stepAt) }));
}

const DAY_MS = 86_400_000;

/** When a batch was begun: its earliest step. */
function firstStep(stepAt: unknown): number {
  return Math.min(...Object.values(stepAt as Record<string, string>).map((at) => Date.parse(at)));
}

/** Grams of a grain soaked since a day in batches of which nothing was loaded into a steriliser yet. */
export async function grainUnderWay(
  tx: GrowerTx,
  growerId: string,
  { grain, since }: { readonly grain: string; readonly since: CalendarDay },
): Promise<number> {
  const rows = await tx.grainBatch.findMany({
    where: { growerId, grain, begunOn: { gte: dayToColumn(since) }, loaded: { equals: [] } },
    select: { dryGrainG: true },
  });
  return rows.reduce((sum, { dryGrainG }) => sum + (numberFromColumnOrNull(dryGrainG) ?? 0), 0);
}
