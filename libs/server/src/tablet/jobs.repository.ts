import type { CalendarDay, EntryFacts, LoggedEntry, WorkDone } from '@jarfold/domain';
import type { SpawnPlan } from '@jarfold/domain/planning';
import { acceptedPlan, firstPlanOf, newestPlan, type StoredPlanRow } from '../plan/index.js';
import { countFromColumn, type GrowerTx } from '../platform/index.js';

/** A plan with the position of the log whose facts it was made from. */
export interface DayPlan {
  readonly id: string;
  readonly position: number;
  readonly plan: SpawnPlan;
}

/**
 * The plan a day began with, and the newest one. The first is the accepted one; without it, the first one made from the
 * day's facts; without that, the newest.
 */
export async function plansOfDay(
  tx: GrowerTx,
  growerId: string,
  today: CalendarDay,
): Promise<{ readonly first: DayPlan; readonly newest: DayPlan } | null> {
  const newest = await newestPlan(tx, growerId);
  if (!newest) return null;
  const first = (await acceptedPlan(tx, growerId)) ?? (await firstPlanOf(tx, growerId, today)) ?? newest;
  return { first: dayPlan(first), newest: dayPlan(newest) };
}

function dayPlan({ id, position, plan }: StoredPlanRow): DayPlan {
  return { id, position: countFromColumn(position), plan };
}

/** Standing entries after a position that can tick a job off, and the grams they took to runs. */
export async function workAfter(tx: GrowerTx, growerId: string, after: number): Promise<WorkDone> {
  const rows = await tx.$queryRaw<WorkRow[]>`
    SELECT position, id::text, kind, payload, facts FROM bench_entry e
    WHERE grower_id = ${growerId}::uuid AND position > ${after} AND outcome = 'applied'
      AND kind IN ('grain_filled', 'cycle_ended', 'inoculated', 'chilled', 'warmed', 'culture_made', 'received')
      AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = e.grower_id AND v.entry_id = e.id)
    ORDER BY position`;
  const draws = await tx.$queryRaw<{ runId: string; massG: number }[]>`
    SELECT d.run_id::text AS "runId", sum(d.mass_g)::float8 AS "massG"
    FROM jar_draw d JOIN bench_entry e ON e.grower_id = d.grower_id AND e.id = d.entry_id
    WHERE d.grower_id = ${growerId}::uuid AND e.position > ${after} AND d.run_id IS NOT NULL GROUP BY d.run_id`;
  const moved = rows.flatMap(({ payload }) => (payload.jarIds as string[] | undefined) ?? []);
  const jars = await tx.jar.findMany({ where: { growerId, id: { in: moved } }, select: { id: true, code: true } });
  const codes = new Map(jars.map(({ id, code }) => [id, code]));
  return { entries: rows.map(logged), draws, jarCode: (id) => codes.get(id) };
}

interface WorkRow {
  readonly position: bigint;
  readonly id: string;
  readonly kind: string;
  readonly payload: Readonly<Record<string, unknown>>;
  readonly facts: EntryFacts;
}

/** Who did it and when does not matter to a job. */
function logged({ position, id, kind, payload, facts }: WorkRow): LoggedEntry {
  return {
    position: countFromColumn(position),
    facts,
    entry: { id, kind, payload } as unknown as LoggedEntry['entry'],
  };
}
