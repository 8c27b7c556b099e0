import type { AwayPeriodJson } from '@jarfold/contracts';
import type { BenchPerson } from '@jarfold/domain';
import { dayFromColumn, dayToColumn, type GrowerTx } from '../platform/index.js';

export interface AwayColumns {
  readonly firstDay: Date;
  readonly lastDay: Date;
  readonly note: string | null;
}

/** Somebody's days away, by first day. */
export const AWAY = {
  select: { firstDay: true, lastDay: true, note: true },
  orderBy: { firstDay: 'asc' },
} as const;

export function awayPeriods(rows: readonly AwayColumns[]): AwayPeriodJson[] {
  return rows.map(({ firstDay, lastDay, note }) => ({
    firstDay: dayFromColumn(firstDay),
    lastDay: dayFromColumn(lastDay),
    note,
  }));
}

export async function replaceAway(
  tx: GrowerTx,
  growerId: string,
  staffId: string,
  periods: readonly AwayPeriodJson[],
): Promise<void> {
  await tx.staffAway.deleteMany({ where: { growerId, staffId } });
  await tx.staffAway.createMany({
    data: periods.map(({ firstDay, lastDay, note }) => ({
      ...{ growerId, staffId, note },
      firstDay: dayToColumn(firstDay),
      lastDay: dayToColumn(lastDay),
    })),
  });
}

/** Everybody at work as the bench counts on them; by id, so that the same facts read the same. */
export async function listBenchPeople(
  tx: GrowerTx,
  growerId: string,
): Promise<(BenchPerson & { readonly staffId: string })[]> {
  const rows = await tx.staff.findMany({
    where: { growerId, active: true },
    select: { id: true, benchMinutes: true, away: AWAY },
    orderBy: { id: 'asc' },
  });
  return rows.map(({ id, benchMinutes, away }) => ({ staffId: id, benchMinutes, away: awayPeriods(away) }));
}
