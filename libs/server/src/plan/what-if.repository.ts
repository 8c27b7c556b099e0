import type { GrowerTx } from '../platform/index.js';
import { USABLE } from './situation.repository.js';

/** Codes of the usable jars of a lot. */
export async function listLotCodes(tx: GrowerTx, growerId: string, lotCode: string): Promise<string[]> {
  const rows = await tx.jar.findMany({
    where: { growerId, lot: { code: lotCode }, ...USABLE },
    select: { code: true },
    orderBy: { code: 'asc' },
  });
  return rows.map(({ code }) => code);
}
