import type { RecallQuery } from '@jarfold/contracts';
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
  { jarId, lotId, code }: RecallQuery,
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
  readonly relation: Relation;
  /** Inoculations away; null for a sister. */
  readonly steps: number | null;
}

/** In the order they are told. */
export const RELATIONS = ['asked', 'ancestor', 'descendant', 'sister'] as const;
export type Relation = (typeof RELATIONS)[number];

export interface RecalledRun {
  readonly runId: string;
  readonly runName: string;
  readonly day: CalendarDay;
  readonly grams: number;
  readonly jars: number;
}

export interface Kin {
  /** Asked for, up, down, beside; the nearest first, then by code. */
  readonly jars: readonly RecalledRow[];
  /** Runs that spawn of the jars asked for and of what came from them went into, in order of their days. */
  readonly runs: readonly RecalledRun[];
}

/**
 * Everyone a jar or lot is related to: up to the roots, down to the last generation, and the sisters, each by its nearest
 * relation (the walk is that of the domain's `recall`). A jar that says its own mother has her; else all that were drawn
 * for its lot. Each step is one hop over indexes, and everything comes back in one text, so that a line of tens of
 * thousands of jars takes moments.
 */
export async function listKin(tx: GrowerTx, growerId: string, { kind, id }: RecallRoot): Promise<Kin> {
  const grower = Prisma.sql`${growerId}::uuid`;
  const mother = (of: string) => mothersOf(grower, Prisma.raw(of));
  const child = (of: string) => childrenOf(grower, Prisma.raw(of));
  const [found] = await tx.$queryRaw<{ lots: string; jars: string; runs: string }[]>`
    WITH RECURSIVE asked AS MATERIALIZED (
      SELECT id FROM jar WHERE grower_id = ${grower} AND ${kind === 'jar' ? Prisma.sql`id` : Prisma.sql`lot_id`} = ${id}::uuid),
    up (id, steps) AS (
      SELECT id, 0 FROM asked
      UNION SELECT mother.id, steps + 1 FROM up CROSS JOIN LATERAL (${mother('up.id')}) mother WHERE steps < ${LONGEST_LINE}),
    down (id, steps) AS (
      SELECT id, 0 FROM asked
      UNION SELECT child.id, steps + 1 FROM down CROSS JOIN LATERAL (${child('down.id')}) child WHERE steps < ${LONGEST_LINE}),
    beside AS (
      SELECT sister.id FROM up CROSS JOIN LATERAL (${child('up.id')}) sister WHERE up.steps = 1),
    told AS (
      SELECT id, CASE WHEN steps = 0 THEN 0 ELSE 1 END AS relation, steps FROM up
      UNION ALL SELECT id, 2, steps FROM down WHERE steps > 0
      UNION ALL SELECT id, 3, 0 FROM beside),
    kin AS MATERIALIZED (
      SELECT id, min(relation * ${MOST_STEPS} + steps) AS nearest FROM told GROUP BY id),
    described AS MATERIALIZED (
      SELECT jar.*, kin.nearest FROM kin JOIN jar ON jar.grower_id = ${grower} AND jar.id = kin.id)
    SELECT (SELECT coalesce(json_object_agg(lot.id, lot.code), '{}')::text FROM lot
             WHERE lot.grower_id = ${grower} AND lot.id IN (SELECT lot_id FROM described)) AS lots,
           (SELECT coalesce(json_agg(json_build_array(nearest, id, code, lot_id, strain_id, generation, state, made_on,
                     contaminated_on, shelf_id, shelf_row, shelf_place, made_g, drawn_g, left_g, discarded_g)
                     ORDER BY nearest, code COLLATE "C"), '[]')::text
              FROM described) AS jars,
           (SELECT coalesce(json_agg(run ORDER BY run.day, run."runId"), '[]')::text FROM (
              SELECT run.id AS "runId", run.name AS "runName", run.day::text AS day, sum(draw.mass_g)::float8 AS grams,
                     count(DISTINCT draw.jar_id)::int AS jars
                FROM kin JOIN jar_draw draw ON draw.grower_id = ${grower} AND draw.jar_id = kin.id
                JOIN bulk_run run ON run.grower_id = draw.grower_id AND run.id = draw.run_id
               WHERE kin.nearest / ${MOST_STEPS} IN (0, 2) GROUP BY run.id, run.name, run.day) run) AS runs`;
  const lots = JSON.parse(found!.lots) as Record<string, string>;
  return {
    jars: (JSON.parse(found!.jars) as JarTuple[]).map((tuple) => rowOf(tuple, lots)),
    runs: JSON.parse(found!.runs) as RecalledRun[],
  };
}

/** More inoculations than any line has; a circle, which the log does not let come about, would end here. */
const LONGEST_LINE = 10_000;
const MOST_STEPS = 1_000_000;

const mothersOf = (grower: Prisma.Sql, jarId: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT jar.mother_jar_id AS id FROM jar
   WHERE jar.grower_id = ${grower} AND jar.id = ${jarId} AND jar.mother_jar_id IS NOT NULL
  UNION ALL
  SELECT draw.jar_id FROM jar JOIN jar_draw draw ON draw.grower_id = jar.grower_id AND draw.lot_id = jar.lot_id
   WHERE jar.grower_id = ${grower} AND jar.id = ${jarId} AND jar.mother_jar_id IS NULL`;

const childrenOf = (grower: Prisma.Sql, jarId: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT jar.id FROM jar WHERE jar.grower_id = ${grower} AND jar.mother_jar_id = ${jarId}
  UNION ALL
  SELECT jar.id FROM jar_draw draw JOIN jar ON jar.grower_id = draw.grower_id AND jar.lot_id = draw.lot_id
   WHERE draw.grower_id = ${grower} AND draw.jar_id = ${jarId} AND jar.mother_jar_id IS NULL`;

type JarTuple = readonly [
  ...[nearest: number, id: string, code: string, lotId: string, strainId: string | null, generation: number | null],
  ...[state: string, madeOn: CalendarDay, contaminatedOn: CalendarDay | null, shelfId: string | null],
  ...[row: number | null, place: number | null, madeG: number, drawnG: number, leftG: number, discardedG: number],
];

function rowOf(tuple: JarTuple, lots: Readonly<Record<string, string>>): RecalledRow {
  const [nearest, jarId, code, lotId, strainId, generation, state, madeOn, contaminatedOn, shelfId, row, place] = tuple;
  const [, , , , , , , , , , , , madeG, drawnG, leftG, discardedG] = tuple;
  const relation = RELATIONS[Math.floor(nearest / MOST_STEPS)]!;
  const steps = relation === 'sister' ? null : nearest % MOST_STEPS;
  // Written out: spreading would build each of tens of thousands of rows several times.
  return {
    jarId,
    code,
    lotId,
    lotCode: lots[lotId]!,
    strainId,
    generation,
    state,
    madeOn,
    contaminatedOn,
    shelfId,
    row,
    place,
    madeG,
    drawnG,
    leftG,
    discardedG,
    relation,
    steps,
  };
}
