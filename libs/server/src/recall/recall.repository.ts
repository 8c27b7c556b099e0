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
  /** Asked for, up, down, beside; the nearest first, then lot by lot. */
  readonly jars: readonly RecalledRow[];
  /** Runs that spawn of the jars asked for and of what came from them went into, in order of their days. */
  readonly runs: readonly RecalledRun[];
}

/**
 * Everyone a jar or lot is related to: up to the roots, down to the last generation, and the sisters, each by its nearest
 * relation (the walk is that of the domain's `recall`). A jar that says its own mother has her; else all that were drawn
 * for its lot. Each step is one hop over indexes; relatives are then read lot by lot, since one look into an index finds
 * all jars of a lot, and come back as one text, so that a line of tens of thousands of jars takes moments.
 */
export async function listKin(tx: GrowerTx, growerId: string, { kind, id }: RecallRoot): Promise<Kin> {
  const grower = Prisma.sql`${growerId}::uuid`;
  const mother = (of: string) => mothersOf(grower, Prisma.raw(of));
  const child = (of: string) => childrenOf(grower, Prisma.raw(of));
  // A long line is sorted and hashed in memory, for this transaction only.
  await tx.$executeRaw`SELECT set_config('work_mem', '64MB', true)`;
  const [found] = await tx.$queryRaw<{ lots: string; runs: string }[]>`
    WITH RECURSIVE asked AS MATERIALIZED (
      SELECT id, lot_id FROM jar WHERE grower_id = ${grower} AND ${kind === 'jar' ? Prisma.sql`id` : Prisma.sql`lot_id`} = ${id}::uuid),
    up (id, lot_id, steps) AS (
      SELECT id, lot_id, 0 FROM asked
      UNION SELECT mother.id, mother.lot_id, steps + 1 FROM up CROSS JOIN LATERAL (${mother('up.id')}) mother
             WHERE steps < ${LONGEST_LINE}),
    down (id, lot_id, steps) AS (
      SELECT id, lot_id, 0 FROM asked
      UNION SELECT child.id, child.lot_id, steps + 1 FROM down CROSS JOIN LATERAL (${child('down.id')}) child
             WHERE steps < ${LONGEST_LINE}),
    told AS (
      SELECT id, lot_id, CASE WHEN steps = 0 THEN 0 ELSE 1 END AS relation, steps FROM up
      UNION ALL SELECT id, lot_id, 2, steps FROM down WHERE steps > 0
      UNION ALL SELECT sister.id, sister.lot_id, 3, 0 FROM up CROSS JOIN LATERAL (${child('up.id')}) sister WHERE up.steps = 1),
    kin AS MATERIALIZED (
      SELECT id, lot_id, min(relation * ${MOST_STEPS} + steps) AS nearest FROM told GROUP BY id, lot_id),
    of_lot AS (
      SELECT nearest, lot_id, array_agg(id) AS ids FROM kin GROUP BY nearest, lot_id)
    SELECT (SELECT coalesce(string_agg(concat_ws(E'\t', nearest, lot.id, lot.code) || E'\n' || own.jars, E'\n\n'
                     ORDER BY nearest, lot.code COLLATE "C"), '')
              FROM of_lot JOIN lot ON lot.grower_id = ${grower} AND lot.id = of_lot.lot_id
             CROSS JOIN LATERAL (${jarLines(grower)}) own) AS lots,
           (SELECT coalesce(json_agg(run ORDER BY run.day, run."runId"), '[]')::text FROM (
              SELECT run.id AS "runId", run.name AS "runName", run.day::text AS day, sum(draw.mass_g)::float8 AS grams,
                     count(DISTINCT draw.jar_id)::int AS jars
                FROM kin JOIN jar_draw draw ON draw.grower_id = ${grower} AND draw.jar_id = kin.id
                JOIN bulk_run run ON run.grower_id = draw.grower_id AND run.id = draw.run_id
               WHERE kin.nearest / ${MOST_STEPS} IN (0, 2) GROUP BY run.id, run.name, run.day) run) AS runs`;
  return { jars: jarsOfText(found!.lots), runs: JSON.parse(found!.runs) as RecalledRun[] };
}

/** More inoculations than any line has; a circle, which the log does not let come about, would end here. */
const LONGEST_LINE = 10_000;
const MOST_STEPS = 1_000_000;

/** The jars of a lot that are relatives, a line to a jar; codes hold neither tabs nor line ends. */
const jarLines = (grower: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT string_agg(concat_ws(E'\t', jar.id, jar.code, coalesce(jar.strain_id::text, ''), coalesce(jar.generation::text, ''),
           jar.state, jar.made_on, coalesce(jar.contaminated_on::text, ''), coalesce(jar.shelf_id::text, ''),
           coalesce(jar.shelf_row::text, ''), coalesce(jar.shelf_place::text, ''),
           jar.made_g, jar.drawn_g, jar.left_g, jar.discarded_g), E'\n' ORDER BY jar.serial) AS jars
    FROM jar WHERE jar.grower_id = ${grower} AND jar.lot_id = of_lot.lot_id AND jar.id = ANY (of_lot.ids)`;

const mothersOf = (grower: Prisma.Sql, jarId: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT mother.id, mother.lot_id FROM jar JOIN jar mother ON mother.grower_id = jar.grower_id AND mother.id = jar.mother_jar_id
   WHERE jar.grower_id = ${grower} AND jar.id = ${jarId}
  UNION ALL
  SELECT mother.id, mother.lot_id FROM jar JOIN jar_draw draw ON draw.grower_id = jar.grower_id AND draw.lot_id = jar.lot_id
    JOIN jar mother ON mother.grower_id = draw.grower_id AND mother.id = draw.jar_id
   WHERE jar.grower_id = ${grower} AND jar.id = ${jarId} AND jar.mother_jar_id IS NULL`;

const childrenOf = (grower: Prisma.Sql, jarId: Prisma.Sql): Prisma.Sql => Prisma.sql`
  SELECT jar.id, jar.lot_id FROM jar WHERE jar.grower_id = ${grower} AND jar.mother_jar_id = ${jarId}
  UNION ALL
  SELECT jar.id, jar.lot_id FROM jar_draw draw JOIN jar ON jar.grower_id = draw.grower_id AND jar.lot_id = draw.lot_id
   WHERE draw.grower_id = ${grower} AND draw.jar_id = ${jarId} AND jar.mother_jar_id IS NULL`;

function jarsOfText(text: string): RecalledRow[] {
  const rows: RecalledRow[] = [];
  for (const lot of text === '' ? [] : text.split('\n\n')) {
    const [head, ...lines] = lot.split('\n');
    const [nearest, lotId, lotCode] = head!.split('\t') as [string, string, string];
    const relation = RELATIONS[Math.floor(Number(nearest) / MOST_STEPS)]!;
    const steps = relation === 'sister' ? null : Number(nearest) % MOST_STEPS;
    for (const line of lines) rows.push(rowOf(line.split('\t'), { lotId, lotCode, relation, steps }));
  }
  return rows;
}

const text = (field: string): string | null => (field === '' ? null : field);
const number = (field: string): number | null => (field === '' ? null : Number(field));

function rowOf(
  fields: readonly string[],
  { lotId, lotCode, relation, steps }: Pick<RecalledRow, 'lotId' | 'lotCode' | 'relation' | 'steps'>,
): RecalledRow {
  const [jarId, code, strainId, generation, state, madeOn, contaminatedOn, shelfId, row, place] = fields as Fields;
  const [, , , , , , , , , , madeG, drawnG, leftG, discardedG] = fields as Fields;
  // Written out: spreading would build each of tens of thousands of rows several times.
  return {
    jarId,
    code,
    lotId,
    lotCode,
    strainId: text(strainId),
    generation: number(generation),
    state,
    madeOn: madeOn as CalendarDay,
    contaminatedOn: text(contaminatedOn) as CalendarDay | null,
    shelfId: text(shelfId),
    row: number(row),
    place: number(place),
    madeG: Number(madeG),
    drawnG: Number(drawnG),
    leftG: Number(leftG),
    discardedG: Number(discardedG),
    relation,
    steps,
  };
}

/** As {@link jarLines} writes them. */
type Fields = readonly [
  ...[jarId: string, code: string, strainId: string, generation: string, state: string, madeOn: string],
  ...[contaminatedOn: string, shelfId: string, row: string, place: string],
  ...[madeG: string, drawnG: string, leftG: string, discardedG: string],
];
