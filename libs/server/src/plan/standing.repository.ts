import type { CalendarDay } from '@jarfold/domain';
import { usualAssurance } from '@jarfold/domain/planning';
import { dayFromColumn, dayToColumn, type GrowerTx, numberFromColumn } from '../platform/index.js';

/** A start held at a count by a lead. */
export interface PinRow {
  readonly benchDay: CalendarDay;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly containers: number;
  readonly pinnedAt: Date;
}

/** Pins from a day on; in a fixed order, so that the same facts read the same. */
export async function listPins(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<PinRow[]> {
  const rows = await tx.planPin.findMany({
    where: { growerId, benchDay: { gte: dayToColumn(from) } },
    orderBy: [{ benchDay: 'asc' }, { strainId: 'asc' }, { generation: 'asc' }, { sizeId: 'asc' }],
  });
  return rows.map(({ benchDay, strainId, generation, sizeId, containers, pinnedAt }) => ({
    ...{ strainId, generation, sizeId, containers, pinnedAt },
    benchDay: dayFromColumn(benchDay),
  }));
}

export async function putPin(
  tx: GrowerTx,
  growerId: string,
  pin: PinRow & { readonly pinnedBy: string | null },
): Promise<void> {
  const key = keyOf(growerId, pin);
  const { containers, pinnedAt, pinnedBy } = pin;
  const data = { containers, pinnedAt, pinnedBy };
  await tx.planPin.upsert({
    where: { growerId_benchDay_strainId_generation_sizeId: key },
    create: { ...key, ...data },
    update: data,
  });
}

export async function takePin(
  tx: GrowerTx,
  growerId: string,
  pin: Omit<PinRow, 'containers' | 'pinnedAt'>,
): Promise<void> {
  await tx.planPin.deleteMany({ where: keyOf(growerId, pin) });
}

function keyOf(growerId: string, pin: Omit<PinRow, 'containers' | 'pinnedAt'>) {
  const { benchDay, strainId, generation, sizeId } = pin;
  return { growerId, benchDay: dayToColumn(benchDay), strainId, generation, sizeId };
}

/** Probability with which the grower wants every run covered. */
export async function readAssurance(tx: GrowerTx, growerId: string): Promise<number> {
  const row = await tx.planSettings.findUnique({ where: { growerId } });
  return row === null ? usualAssurance : numberFromColumn(row.assurance);
}

export async function writeAssurance(tx: GrowerTx, growerId: string, assurance: number): Promise<void> {
  await tx.planSettings.upsert({
    where: { growerId },
    create: { growerId, assurance },
    update: { assurance, revision: { increment: 1 } },
  });
}

/** Days since a day on which a steriliser was started: what it held is meant for the next bench day. */
export async function listCycleDays(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<CalendarDay[]> {
  const rows = await tx.steriliserCycle.findMany({
    where: { growerId, startedOn: { gte: dayToColumn(from) } },
    select: { startedOn: true },
    orderBy: [{ startedOn: 'asc' }, { id: 'asc' }],
  });
  return rows.map(({ startedOn }) => dayFromColumn(startedOn));
}

/** What was inoculated on a day or after it. */
export async function listMade(tx: GrowerTx, growerId: string, from: CalendarDay): Promise<Omit<PinRow, 'pinnedAt'>[]> {
  const rows = await tx.lot.findMany({
    where: { growerId, origin: 'inoculated', madeOn: { gte: dayToColumn(from) }, strainId: { not: null } },
    select: { madeOn: true, strainId: true, generation: true, sizeId: true, jarsMade: true },
    orderBy: [{ madeOn: 'asc' }, { id: 'asc' }],
  });
  return rows.flatMap(({ madeOn, strainId, generation, sizeId, jarsMade }) =>
    strainId === null || generation === null
      ? []
      : [{ benchDay: dayFromColumn(madeOn), strainId, generation, sizeId, containers: jarsMade }],
  );
}
