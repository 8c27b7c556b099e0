import type { Jar, SettlementWay } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

/**
 * Refused entries that nobody has settled, the oldest first. What is tied to each is looked up by its key, whatever the
 * database believes of its tables: as a join of all with all, which it chose while its statistics were old, this took
 * minutes on the log of a single day.
 */
export async function unsettledIds(tx: GrowerTx, growerId: string, limit: number): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT e.id::text FROM bench_entry e
    WHERE e.grower_id = ${growerId}::uuid AND e.outcome = 'refused' AND e.kind NOT IN ('settled', 'corrected')
      AND NOT EXISTS (
        SELECT FROM (
          SELECT (SELECT s.id FROM bench_entry s
                  WHERE s.grower_id = t.grower_id AND s.position = t.position AND s.kind = 'settled') AS id
          FROM bench_entry_thing t WHERE t.grower_id = e.grower_id AND t.thing_id = e.id OFFSET 0) settling
        WHERE settling.id IS NOT NULL
          AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = e.grower_id AND v.entry_id = settling.id))
    ORDER BY e.position LIMIT ${limit}`;
  return rows.map(({ id }) => id);
}

/** Refused entries, settled or not, the newest first. */
export async function newestRefusedIds(tx: GrowerTx, growerId: string, limit: number): Promise<string[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    SELECT id::text FROM bench_entry
    WHERE grower_id = ${growerId}::uuid AND outcome = 'refused' AND kind NOT IN ('settled', 'corrected')
    ORDER BY position DESC LIMIT ${limit}`;
  return rows.map(({ id }) => id);
}

/** The settlement of a refused entry that stands, and the entry that took its place where that stands too. */
export interface StandingSettlement {
  readonly refusedId: string;
  readonly id: string;
  readonly way: SettlementWay;
  readonly settledAt: Date;
  readonly newEntryId: string | null;
}

export async function standingSettlements(
  tx: GrowerTx,
  growerId: string,
  refusedIds: readonly string[],
): Promise<StandingSettlement[]> {
  return tx.$queryRaw<StandingSettlement[]>`
    SELECT refused.id::text AS "refusedId", settling.* FROM unnest(${[...refusedIds]}::uuid[]) AS refused (id)
    CROSS JOIN LATERAL (
      SELECT s.id::text, s.payload->>'way' AS way, s.recorded_at AS "settledAt", n.id::text AS "newEntryId"
      FROM bench_entry_thing t
      JOIN bench_entry s ON s.grower_id = t.grower_id AND s.position = t.position AND s.kind = 'settled'
      LEFT JOIN bench_entry n ON n.grower_id = s.grower_id AND n.id::text = s.payload->>'newEntryId'
        AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = n.grower_id AND v.entry_id = n.id)
      WHERE t.grower_id = ${growerId}::uuid AND t.thing_id = refused.id AND s.outcome = 'applied'
        AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = s.grower_id AND v.entry_id = s.id)
      ORDER BY s.position DESC LIMIT 1) settling`;
}

/** Jars that can give the grams in another's place: same strain, on hand, clean, holding enough; the oldest first. */
export async function jarsInstead(
  tx: GrowerTx,
  growerId: string,
  wanted: Pick<Jar, 'strainId'> & { readonly leastG: number; readonly not: readonly string[] },
  limit: number,
): Promise<{ jarId: string; code: string; leftG: number }[]> {
  if (wanted.strainId === null) return [];
  return tx.$queryRaw<{ jarId: string; code: string; leftG: number }[]>`
    SELECT id::text AS "jarId", code, left_g::float8 AS "leftG" FROM jar
    WHERE grower_id = ${growerId}::uuid AND strain_id = ${wanted.strainId}::uuid
      AND state IN ('opened', 'ripe', 'chilled') AND contaminated_on IS NULL
      AND left_g > 0 AND left_g >= ${wanted.leastG} AND id <> ALL(${[...wanted.not]}::uuid[])
    ORDER BY (opened_on IS NULL), coalesce(opened_on, ripe_on, made_on), code LIMIT ${limit}`;
}

/** Who wrote an entry, on what, and what for, in the farm's names; null where it has none. */
export interface EntryNames {
  readonly by: string | null;
  readonly tablet: string | null;
  readonly purpose: string | null;
}

/** Ids in a refused entry's payload may be anything, so they are compared as text. */
export async function namesOfEntries(
  tx: GrowerTx,
  growerId: string,
  entryIds: readonly string[],
): Promise<ReadonlyMap<string, EntryNames>> {
  const rows = await tx.$queryRaw<(EntryNames & { readonly id: string })[]>`
    SELECT e.id::text, person.name AS by, CASE WHEN device.enrolled THEN device.name END AS tablet,
      coalesce(run.name, lot.code, strain.name) AS purpose
    FROM bench_entry e
    JOIN device ON device.grower_id = e.grower_id AND device.id = e.device_id
    LEFT JOIN staff_name person ON person.grower_id = e.grower_id AND person.staff_id = e.staff_id
    LEFT JOIN bulk_run run ON run.grower_id = e.grower_id AND run.id::text = e.payload->>'runId'
    LEFT JOIN lot ON lot.grower_id = e.grower_id AND lot.id::text = e.payload->>'lotId'
    LEFT JOIN strain ON strain.grower_id = e.grower_id AND strain.id::text = e.payload->>'strainId'
    WHERE e.grower_id = ${growerId}::uuid AND e.id = ANY(${[...entryIds]}::uuid[])`;
  return new Map(rows.map(({ id, ...names }) => [id, names]));
}

export interface EarlierDraw {
  readonly jarId: string;
  readonly entryId: string;
  readonly kind: string;
  readonly effectiveAt: string;
  readonly massG: number | null;
  readonly estimated: boolean;
}

const SHOWN_OF_A_JAR = 5;

/** What stands in the log as taken from each jar, or as its end: the newest first, a few of each jar. */
export async function earlierDraws(
  tx: GrowerTx,
  growerId: string,
  jarIds: readonly string[],
): Promise<readonly EarlierDraw[]> {
  if (jarIds.length === 0) return [];
  return tx.$queryRaw<EarlierDraw[]>`
    SELECT "jarId", "entryId", kind, "effectiveAt", "massG", estimated FROM (
      SELECT t.thing_id::text AS "jarId", e.id::text AS "entryId", e.kind,
        to_char(e.effective_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') AS "effectiveAt",
        draw.mass_g::float8 AS "massG", coalesce(draw.estimated, false) AS estimated,
        row_number() OVER (PARTITION BY t.thing_id ORDER BY e.position DESC) AS place
      FROM bench_entry_thing t
      JOIN bench_entry e ON e.grower_id = t.grower_id AND e.position = t.position AND e.outcome = 'applied'
      LEFT JOIN jar_draw draw ON draw.grower_id = t.grower_id AND draw.entry_id = e.id AND draw.jar_id = t.thing_id
      WHERE t.grower_id = ${growerId}::uuid AND t.thing_id = ANY(${[...jarIds]}::uuid[])
        AND (draw.jar_id IS NOT NULL OR e.kind IN ('discarded', 'emptied', 'broken'))
        AND NOT EXISTS (SELECT FROM bench_void v WHERE v.grower_id = e.grower_id AND v.entry_id = e.id)
    ) one WHERE place <= ${SHOWN_OF_A_JAR} ORDER BY place`;
}
