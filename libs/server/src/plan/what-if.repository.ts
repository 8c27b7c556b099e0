import type { GrowerTx } from '../platform/index.js';

/** Codes of the usable jars of a lot. */
export async function listLotCodes(tx: GrowerTx, growerId: string, lotCode: string): Promise<string[]> {
  const rows = await tx.jar.findMany({
    where: {
      growerId,
      lot: { code: lotCode },
      state: { in: ['incubating', 'ripe', 'chilled', 'opened'] },
      blank: false,
      contaminatedOn: null,
      strainId: { not: null },
      generation: { not: null },
    },
    select: { code: true },
    orderBy: { code: 'asc' },
  });
  return rows.map(({ code }) => code);
}
