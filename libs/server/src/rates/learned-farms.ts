import type { CalendarDay } from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import { type GrowerTx, KeptByFarm } from '../platform/index.js';
import { type Learned, readLearned } from './learned.js';
import { readLearnedStamp } from './learned-stamp.js';

/** What the logs of the farms that were asked of last taught: read anew only where something of it may have changed. */
export class LearnedFarms {
  readonly #kept = new KeptByFarm<Learned>();

  /** @param tx sees one state of the farm from its first question to its last, as reading transactions do */
  async read(tx: GrowerTx, growerId: string, asOf: CalendarDay, strains: readonly StrainRow[]): Promise<Learned> {
    const stamp = await readLearnedStamp(tx, growerId, asOf, strains);
    const kept = this.#kept.find(growerId, stamp);
    if (kept !== undefined) return kept;
    const learned = await readLearned(tx, growerId, asOf, strains);
    this.#kept.keep(growerId, stamp, learned);
    return learned;
  }
}
