import type { JarDetail } from '@jarfold/contracts';
import { countFromColumn, type GrowerTx } from '../platform/index.js';
import { type JarRow } from './jar-row.js';
import { jarsByIds } from './stock.repository.js';

/** More mothers than any lineage has: a loop in the data must end, not hang. */
const MOST_MOTHERS = 50;
const MOST_DAUGHTERS = 200;
const MOST_ENTRIES = 200;

/**
 * From a jar's mother up to the culture. A lot drawn from several jars has several mothers on a level; they stand one
 * after the other, nearest first.
 */
export async function mothersOf(tx: GrowerTx, growerId: string, jar: JarRow): Promise<JarRow[]> {
  const rows = await tx.$queryRaw<{ id: string }[]>`
    WITH RECURSIVE up (lot_id, level) AS (
      SELECT ${jar.lotId}::uuid, 0
      UNION
      SELECT mother.lot_id, up.level + 1
        FROM up
        JOIN jar_draw draw ON draw.grower_id = ${growerId}::uuid AND draw.lot_id = up.lot_id
        JOIN jar mother ON mother.grower_id = draw.grower_id AND mother.id = draw.jar_id
       WHERE up.level < ${MOST_MOTHERS}
    )
    SELECT draw.jar_id AS id
      FROM up JOIN jar_draw draw ON draw.grower_id = ${growerId}::uuid AND draw.lot_id = up.lot_id
      JOIN jar mother ON mother.grower_id = draw.grower_id AND mother.id = draw.jar_id
     GROUP BY draw.jar_id, mother.code ORDER BY min(up.level), mother.code LIMIT ${MOST_MOTHERS}`;
  return jarsByIds(
    tx,
    growerId,
    rows.map(({ id }) => id),
  );
}

/** The jars made from a jar: those of every lot it was drawn for. */
export async function daughtersOf(
  tx: GrowerTx,
  growerId: string,
  jarId: string,
): Promise<{ readonly jars: JarRow[]; readonly count: number }> {
  const draws = await tx.jarDraw.findMany({
    where: { growerId, jarId, lotId: { not: null } },
    select: { lotId: true },
  });
  const where = { growerId, lotId: { in: draws.map(({ lotId }) => lotId!) } };
  const count = await tx.jar.count({ where });
  const rows = await tx.jar.findMany({
    where: { ...where, strainId: { not: null }, generation: { not: null } },
    select: { id: true },
    orderBy: { code: 'asc' },
    take: MOST_DAUGHTERS,
  });
  return {
    jars: await jarsByIds(
      tx,
      growerId,
      rows.map(({ id }) => id),
    ),
    count,
  };
}

/** What the bench log says about a jar, its own entries and those of its lot, newest first. */
export async function entriesOf(tx: GrowerTx, growerId: string, jar: JarRow): Promise<JarDetail['entries']> {
  const rows = await tx.benchEntry.findMany({
    where: {
      growerId,
      outcome: 'applied',
      things: { some: { growerId, thingId: { in: [jar.id, jar.lotId] } } },
    },
    include: { voided: { select: { entryId: true } } },
    orderBy: { position: 'desc' },
    take: MOST_ENTRIES,
  });
  return rows.map((row) => ({
    entryId: row.id,
    position: countFromColumn(row.position),
    kind: row.kind,
    happenedAt: row.effectiveAt.toISOString(),
    recordedAt: row.recordedAt.toISOString(),
    staffId: row.staffId,
    corrected: row.voided !== null,
    payload: row.payload as Record<string, unknown>,
  }));
}

export async function lotCodeOf(tx: GrowerTx, growerId: string, lotId: string): Promise<string | null> {
  const lot = await tx.lot.findUnique({ where: { growerId_id: { growerId, id: lotId } }, select: { code: true } });
  return lot?.code ?? null;
}
