import type { CalendarDay } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';

/** Which jars an answer starts from. */
export interface RecallRoot {
  readonly kind: 'jar' | 'lot';
  readonly id: string;
  readonly code: string;
}

/** What a jar or lot is, by id or by the code on its label; null when the farm has none such. */
export async function findRoot(
  tx: GrowerTx,
  growerId: string,
  { jarId, lotId, code }: { readonly jarId?: string; readonly lotId?: string; readonly code?: string },
): Promise<RecallRoot | null> {
  const [root] = await tx.$queryRaw<RecallRoot[]>`
    SELECT 'jar' AS kind, id, code FROM jar
     WHERE grower_id = ${growerId}::uuid AND ${idOrCode(jarId, code)}
    UNION ALL
    SELECT 'lot', id, code FROM lot
     WHERE grower_id = ${growerId}::uuid AND ${idOrCode(lotId, code)}
     LIMIT 1`;
  return root ?? null;
}

function idOrCode(id: string | undefined, code: string | undefined): Prisma.Sql {
  if (id !== undefined) return Prisma.sql`id = ${id}::uuid`;
  return code === undefined ? Prisma.sql`false` : Prisma.sql`upper(code) = upper(${code})`;
}

export async function jarsOfRoot(tx: GrowerTx, growerId: string, { kind, id }: RecallRoot): Promise<string[]> {
  if (kind === 'jar') return [id];
  const rows = await tx.jar.findMany({
    where: { growerId, lotId: id },
    select: { id: true },
    orderBy: { serial: 'asc' },
  });
  return rows.map((row) => row.id);
}

/** A jar and the jars it was inoculated from. */
export interface LineageRow {
  readonly id: string;
  readonly mothers: readonly string[];
}

/**
 * Everyone who can be related to some jars: up to the roots, and down from every jar met, sisters included. A jar that
 * says its own mother has her; else all that were drawn for its lot. Each step is one hop over indexes.
 */
export async function listKin(tx: GrowerTx, growerId: string, jarIds: readonly string[]): Promise<LineageRow[]> {
  return tx.$queryRaw<LineageRow[]>`
    WITH RECURSIVE mother AS MATERIALIZED (
      SELECT jar.id AS child, jar.mother_jar_id AS mother FROM jar
       WHERE jar.grower_id = ${growerId}::uuid AND jar.mother_jar_id IS NOT NULL
      UNION ALL
      SELECT jar.id, draw.jar_id FROM jar
        JOIN jar_draw draw ON draw.grower_id = jar.grower_id AND draw.lot_id = jar.lot_id
       WHERE jar.grower_id = ${growerId}::uuid AND jar.mother_jar_id IS NULL),
    up AS (
      SELECT unnest(${[...jarIds]}::uuid[]) AS id
      UNION SELECT mother.mother FROM up JOIN mother ON mother.child = up.id),
    beside AS (
      SELECT id FROM up
      UNION SELECT sister.child FROM mother own JOIN mother sister ON sister.mother = own.mother
             WHERE own.child = ANY (${[...jarIds]}::uuid[])),
    down AS (
      SELECT unnest(${[...jarIds]}::uuid[]) AS id
      UNION SELECT mother.child FROM down JOIN mother ON mother.mother = down.id),
    kin AS (SELECT id FROM beside UNION SELECT id FROM down)
    SELECT kin.id, coalesce(array_agg(DISTINCT mother.mother) FILTER (WHERE mother.mother IS NOT NULL), '{}') AS mothers
      FROM kin LEFT JOIN mother ON mother.child = kin.id GROUP BY kin.id`;
}

export interface RecalledRow {
  readonly jarId: string;
  readonly code: string;
  readonly lotId: string;
  readonly lotCode: string;
  readonly strainId: string | null;
  readonly generation: number | null;
  readonly state: string;
  readonly madeOn: CalendarDay;
  readonly contaminatedOn: CalendarDay | null;
  readonly shelfId: string | null;
  readonly row: number | null;
  readonly place: number | null;
  readonly madeG: number;
  readonly drawnG: number;
  readonly leftG: number;
  readonly discardedG: number;
}

export async function describeJars(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<RecalledRow[]> {
  return tx.$queryRaw<RecalledRow[]>`
    SELECT jar.id AS "jarId", jar.code, jar.lot_id AS "lotId", lot.code AS "lotCode", jar.strain_id AS "strainId",
           jar.generation, jar.state, jar.made_on::text AS "madeOn", jar.contaminated_on::text AS "contaminatedOn",
           jar.shelf_id AS "shelfId", jar.shelf_row AS row, jar.shelf_place AS place, jar.made_g::float8 AS "madeG",
           jar.drawn_g::float8 AS "drawnG", jar.left_g::float8 AS "leftG", jar.discarded_g::float8 AS "discardedG"
      FROM jar JOIN lot ON lot.grower_id = jar.grower_id AND lot.id = jar.lot_id
     WHERE jar.grower_id = ${growerId}::uuid AND jar.id = ANY (${[...ids]}::uuid[])`;
}

export interface RecalledRun {
  readonly runId: string;
  readonly runName: string;
  readonly day: CalendarDay;
  readonly grams: number;
  readonly jars: number;
}

/** Runs that spawn of these jars went into, in order of their days. */
export async function runsOf(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<RecalledRun[]> {
  return tx.$queryRaw<RecalledRun[]>`
    SELECT run.id AS "runId", run.name AS "runName", run.day::text AS day, sum(draw.mass_g)::float8 AS grams,
           count(DISTINCT draw.jar_id)::int AS jars
      FROM jar_draw draw JOIN bulk_run run ON run.grower_id = draw.grower_id AND run.id = draw.run_id
     WHERE draw.grower_id = ${growerId}::uuid AND draw.jar_id = ANY (${[...ids]}::uuid[])
     GROUP BY run.id, run.name, run.day ORDER BY run.day, run.id`;
}
