import type { JarQuery } from '@jarfold/contracts';
import type { CalendarDay, ContainerGroup } from '@jarfold/domain';
import { type GrowerTx, Prisma } from '../platform/index.js';
import { JAR_COLUMNS, type JarRow, jarFromColumns, ON_HAND } from './jar-row.js';

/**
 * What is on hand, counted by everything that matters for its age: one pass over the standing jars. Days become text
 * only after counting: there are far fewer groups than jars.
 */
export async function countOnHand(tx: GrowerTx, growerId: string): Promise<ContainerGroup[]> {
  return tx.$queryRaw<ContainerGroup[]>`
    SELECT strain_id::text AS "strainId", generation::int AS generation, CASE WHEN contaminated THEN 'contaminated' ELSE state END AS state,
           made_on::text AS "madeOn", ripe_on::text AS "ripeOn", chilled_on::text AS "chilledOn",
           warmed_on::text AS "warmedOn", opened_on::text AS "openedOn", count, grams, mothers AS "keptAsMothers"
      FROM (SELECT strain_id, generation, state, contaminated_on IS NOT NULL AS contaminated,
                   made_on, ripe_on, chilled_on, warmed_on, opened_on, count(*)::int AS count,
                   sum(left_g)::float8 AS grams, count(*) FILTER (WHERE kept_as_mother)::int AS mothers
              FROM jar
             WHERE grower_id = ${growerId}::uuid AND state IN ('incubating', 'ripe', 'chilled', 'opened')
               AND NOT blank AND strain_id IS NOT NULL AND generation IS NOT NULL
             GROUP BY 1, 2, 3, 4, 5, 6, 7, 8, 9) AS counted`;
}

/** Every jar that stands somewhere, by code. */
export async function listOnHand(
  tx: GrowerTx,
  growerId: string,
  states: readonly string[] = ON_HAND,
): Promise<JarRow[]> {
  return tx.$queryRaw<JarRow[]>`
    SELECT id::text AS id, code, lot_id::text AS "lotId", strain_id::text AS "strainId", generation::int AS generation,
           size_id::text AS "sizeId", CASE WHEN contaminated_on IS NULL THEN state ELSE 'contaminated' END AS state,
           made_on::text AS "madeOn", ripe_on::text AS "ripeOn", chilled_on::text AS "chilledOn",
           warmed_on::text AS "warmedOn", opened_on::text AS "openedOn", left_g::float8 AS "gramsLeft",
           colonised_share::float8 AS "shareColonised", kept_as_mother AS "keptAsMother",
           shelf_id::text AS "shelfId", shelf_row::int AS row, shelf_place::int AS place
      FROM jar
     WHERE grower_id = ${growerId}::uuid AND state = ANY (${[...states]})
       AND NOT blank AND strain_id IS NOT NULL AND generation IS NOT NULL
     ORDER BY code COLLATE "C"`;
}

export interface JarCursor {
  readonly madeOn: CalendarDay;
  readonly code: string;
}

type JarFilter = Pick<JarQuery, 'strainId' | 'generation' | 'state' | 'roomId' | 'code' | 'onHand' | 'sort' | 'limit'>;

/** One page of jars after a cursor. The order is total (codes are unique), so paging skips and repeats nothing. */
export async function pageOfJars(
  tx: GrowerTx,
  growerId: string,
  filter: JarFilter,
  after: JarCursor | null,
): Promise<JarRow[]> {
  const conditions = [
    Prisma.sql`jar.grower_id = ${growerId}::uuid`,
    Prisma.sql`NOT jar.blank AND jar.strain_id IS NOT NULL AND jar.generation IS NOT NULL`,
    ...filterConditions(filter),
    ...(after === null ? [] : [afterCondition(filter.sort, after)]),
  ];
  const order =
    filter.sort === 'newest'
      ? Prisma.sql`jar.made_on DESC, jar.code COLLATE "C" ASC`
      : Prisma.sql`jar.code COLLATE "C" ASC`;
  const ids = await tx.$queryRaw<{ id: string }[]>`
    SELECT jar.id FROM jar LEFT JOIN shelf ON shelf.grower_id = jar.grower_id AND shelf.id = jar.shelf_id
     WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY ${order} LIMIT ${filter.limit}`;
  return jarsByIds(
    tx,
    growerId,
    ids.map(({ id }) => id),
  );
}

/** The jars with these ids, in the order of the ids. */
export async function jarsByIds(tx: GrowerTx, growerId: string, ids: readonly string[]): Promise<JarRow[]> {
  const rows = await tx.jar.findMany({ where: { growerId, id: { in: [...ids] } }, select: JAR_COLUMNS });
  const byId = new Map(rows.map((row) => [row.id, row]));
  return ids.flatMap((id) => {
    const row = byId.get(id);
    return row === undefined ? [] : [jarFromColumns(row)];
  });
}

/** The jars that carry these codes, whatever their state. */
export async function jarsByCodes(tx: GrowerTx, growerId: string, codes: readonly string[]): Promise<JarRow[]> {
  if (codes.length === 0) return [];
  const rows = await tx.jar.findMany({
    where: { growerId, code: { in: [...codes] }, strainId: { not: null }, generation: { not: null } },
    select: JAR_COLUMNS,
  });
  return rows.map(jarFromColumns);
}

function filterConditions({ strainId, generation, state, roomId, code, onHand }: JarFilter): Prisma.Sql[] {
  return [
    ...(strainId === undefined ? [] : [Prisma.sql`jar.strain_id = ${strainId}::uuid`]),
    ...(generation === undefined ? [] : [Prisma.sql`jar.generation = ${generation}`]),
    ...(roomId === undefined ? [] : [Prisma.sql`shelf.room_id = ${roomId}::uuid`]),
    ...(code === undefined || code === '' ? [] : [Prisma.sql`starts_with(upper(jar.code), upper(${code}))`]),
    ...stateConditions(state, onHand),
  ];
}

function stateConditions(state: JarFilter['state'], onHand: JarFilter['onHand']): Prisma.Sql[] {
  const standing = Prisma.sql`jar.state IN ('incubating', 'ripe', 'chilled', 'opened')`;
  if (state === 'contaminated') return [Prisma.sql`jar.contaminated_on IS NOT NULL`, standing];
  if (state !== undefined && ON_HAND.includes(state))
    return [Prisma.sql`jar.state = ${state}`, Prisma.sql`jar.contaminated_on IS NULL`];
  if (state !== undefined) return [Prisma.sql`jar.state = ${state}`];
  return onHand === 'false' ? [] : [standing];
}

function afterCondition(sort: JarFilter['sort'], { madeOn, code }: JarCursor): Prisma.Sql {
  if (sort === 'code') return Prisma.sql`jar.code COLLATE "C" > ${code}`;
  return Prisma.sql`(jar.made_on < ${madeOn}::date OR (jar.made_on = ${madeOn}::date AND jar.code COLLATE "C" > ${code}))`;
}
