import {
  addDays,
  type CalendarDay,
  type ContaminationHazard,
  lossByStrain,
  lossForPlan,
  type PlanValue,
  ripeDaysForPlan,
  ripeningOfStrain,
  settledCells,
} from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { GrowerTx } from '../platform/index.js';
import { listLotCells, readHazard } from './contamination.repository.js';
import { listRipenings } from './growth.repository.js';
import { profileOf, publishedLoss } from './published-loss.js';

/** What the farm's log taught, as plans use it. */
export interface Learned {
  readonly strains: ReadonlyMap<string, LearnedStrain>;
  /** When this farm's jars spoil; null while none was watched. */
  readonly hazard: ContaminationHazard | null;
}

export interface LearnedStrain {
  readonly lossRate: PlanValue;
  readonly daysToRipe: PlanValue;
}

/** Longer ago the farm was another one: other hands, other grain. */
const MEMORY_DAYS = 365;

/** The values plans are made with, from the last year of the log. */
export async function readLearned(
  tx: GrowerTx,
  growerId: string,
  asOf: CalendarDay,
  strains: readonly StrainRow[],
): Promise<Learned> {
  const scope = { from: addDays(asOf, -MEMORY_DAYS), strainId: null };
  const cells = settledCells(await listLotCells(tx, growerId, scope), asOf);
  const ripenings = await listRipenings(tx, growerId, scope);
  const hazard = await readHazard(tx, growerId, scope, asOf);
  const losses = lossByStrain(cells, publishedLoss(strains));
  return {
    hazard: hazard.kind === 'hazard' ? hazard : null,
    strains: new Map(
      strains.map((strain) => {
        const profile = profileOf(strain);
        const { lossRate, daysToRipe } = profile.spawn;
        const own = ripenings.filter(({ strainId }) => strainId === strain.id);
        const ripening = own.length === 0 ? null : ripeningOfStrain(own, daysToRipe.value, profile);
        return [
          strain.id,
          {
            lossRate: lossForPlan(strain.lossRate, losses.get(strain.id) ?? null, lossRate.value),
            daysToRipe: ripeDaysForPlan(strain.daysToRipe, ripening, daysToRipe.value),
          },
        ] as const;
      }),
    ),
  };
}
