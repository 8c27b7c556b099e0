import { type LabelLayout, labelLayoutSchema, STARTING_LABEL_LAYOUT } from '@jarfold/contracts';
import type { GrowerTx } from '../platform/index.js';

/** The layout the farm has saved; the starting one before, and when what is stored was written by another version. */
export async function readLayout(tx: GrowerTx, growerId: string): Promise<LabelLayout> {
  const row = await tx.farmSettings.findUnique({ where: { growerId }, select: { labelLayout: true } });
  const stored = labelLayoutSchema.safeParse(row?.labelLayout);
  return stored.success ? stored.data : STARTING_LABEL_LAYOUT;
}

/** Writes nothing else of the farm's settings, which every farm has from its first day. */
export async function writeLayout(tx: GrowerTx, growerId: string, labelLayout: LabelLayout): Promise<void> {
  await tx.farmSettings.update({ where: { growerId }, data: { labelLayout } });
}
