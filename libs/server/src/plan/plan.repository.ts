import type { CalendarDay } from '@jarfold/domain';
import type { KeptPlan } from '@jarfold/domain/planning';
import { dayFromColumn, dayToColumn, type GrowerTx } from '../platform/index.js';

/** A plan as it is kept: one row, whole or not at all. */
export interface StoredPlanRow {
  readonly id: string;
  readonly version: number;
  readonly situationDigest: string;
  readonly modelVersion: string;
  readonly factsReadAt: Date;
  readonly position: bigint;
  readonly plan: KeptPlan;
  readonly solveMs: number;
  readonly madeAt: Date;
  readonly status: PlanStatus;
  readonly acceptedAt: Date | null;
}

export type PlanStatus = 'proposed' | 'accepted' | 'superseded';

/** Makes other plans of this grower wait until this transaction ends. */
export async function lockPlans(tx: GrowerTx, growerId: string): Promise<void> {
  await tx.$queryRaw`SELECT pg_advisory_xact_lock(hashtextextended('plan:' || ${growerId}, 0))::text AS locked`;
}

/** The newest plan without its content: enough to tell whether it still answers the facts. */
export async function newestPlanHead(
  tx: GrowerTx,
  growerId: string,
): Promise<Pick<StoredPlanRow, 'id' | 'version' | 'situationDigest' | 'factsReadAt'> | null> {
  return tx.plan.findFirst({
    where: { growerId },
    orderBy: { version: 'desc' },
    select: { id: true, version: true, situationDigest: true, factsReadAt: true },
  });
}

export async function newestPlan(tx: GrowerTx, growerId: string): Promise<StoredPlanRow | null> {
  const row = await tx.plan.findFirst({ where: { growerId }, orderBy: { version: 'desc' } });
  return row === null ? null : storedPlan(row);
}

/** The plan that was accepted last, whatever was proposed since. */
export async function acceptedPlan(tx: GrowerTx, growerId: string): Promise<StoredPlanRow | null> {
  const row = await tx.plan.findFirst({ where: { growerId, acceptedAt: { not: null } }, orderBy: { version: 'desc' } });
  return row === null ? null : storedPlan(row);
}

/** The newest plan made on a day or before. */
export async function planUntil(tx: GrowerTx, growerId: string, day: CalendarDay): Promise<StoredPlanRow | null> {
  const where = { growerId, asOf: { lte: dayToColumn(day) } };
  const row = await tx.plan.findFirst({ where, orderBy: { version: 'desc' } });
  return row === null ? null : storedPlan(row);
}

/** The first plan made from a day's facts. */
export async function firstPlanOf(tx: GrowerTx, growerId: string, day: CalendarDay): Promise<StoredPlanRow | null> {
  const where = { growerId, asOf: dayToColumn(day) };
  const row = await tx.plan.findFirst({ where, orderBy: { version: 'asc' } });
  return row === null ? null : storedPlan(row);
}

/** The plan before another one. */
export async function planBefore(tx: GrowerTx, growerId: string, version: number): Promise<StoredPlanRow | null> {
  const where = { growerId, version: { lt: version } };
  const row = await tx.plan.findFirst({ where, orderBy: { version: 'desc' } });
  return row === null ? null : storedPlan(row);
}

function storedPlan(row: NonNullable<Awaited<ReturnType<GrowerTx['plan']['findFirst']>>>): StoredPlanRow {
  const { id, version, situationDigest, modelVersion, factsReadAt, position, solveMs, madeAt, acceptedAt } = row;
  // Written by insertPlan below and by nothing else, so its shape is what the planner gave.
  const plan = { ...(row.result as unknown as KeptPlan), asOf: dayFromColumn(row.asOf) };
  const status = row.status as PlanStatus;
  return {
    ...{ id, version, situationDigest, modelVersion, factsReadAt, position, solveMs, madeAt, acceptedAt },
    ...{ plan, status },
  };
}

/** Marks a plan as agreed on. */
export async function markAccepted(
  tx: GrowerTx,
  growerId: string,
  id: string,
  by: { readonly at: Date; readonly staffId: string | null },
): Promise<void> {
  const data = { status: 'accepted', acceptedAt: by.at, acceptedBy: by.staffId };
  await tx.plan.update({ where: { growerId_id: { growerId, id } }, data });
}

/** Stores a plan whole as the newest one; an earlier proposal is superseded by it. */
export async function insertPlan(
  tx: GrowerTx,
  growerId: string,
  row: Omit<StoredPlanRow, 'status' | 'acceptedAt'>,
): Promise<void> {
  await tx.plan.updateMany({ where: { growerId, status: 'proposed' }, data: { status: 'superseded' } });
  const { plan, ...columns } = row;
  await tx.plan.create({
    data: {
      growerId,
      ...columns,
      status: 'proposed',
      asOf: dayToColumn(plan.asOf),
      result: plan as unknown as Parameters<GrowerTx['plan']['create']>[0]['data']['result'],
      cost: plan.cost,
      bound: plan.bound,
      gap: plan.gap,
      exact: plan.exact,
      solveMs: Math.round(row.solveMs),
    },
  });
}

/** Notes that the newest plan was found to answer facts read later than those it was made from. */
export async function confirmPlan(tx: GrowerTx, growerId: string, id: string, factsReadAt: Date): Promise<void> {
  await tx.plan.updateMany({ where: { growerId, id, factsReadAt: { lt: factsReadAt } }, data: { factsReadAt } });
}
