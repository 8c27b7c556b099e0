import {
  addDays,
  type CalendarDay,
  type ContaminationHazard,
  type Group,
  lossByStrain,
  lossForPlan,
  lotsLost,
  type PlanValue,
  type PublishedRate,
  type RipeningOfStrain,
  ripeDaysForPlan,
  ripeningOfStrain,
  settledCells,
} from '@jarfold/domain';
import type { StrainRow } from '../farm/index.js';
import type { GrowerTx } from '../platform/index.js';
import { listBroughtCells } from './brought-lots.repository.js';
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
  readonly publishedLoss: PublishedRate;
  /** Its settled lots: jars lost of jars started. */
  readonly lots: readonly Group[];
  /** As its checks tell; null while none was seen. */
  readonly ripening: RipeningOfStrain | null;
}

/** Longer ago the farm was another one: other hands, other grain. */
const MEMORY_DAYS = 365;

/** The values plans are made with, from the last year of the log and of what was brought in of before it. */
export async function readLearned(
  tx: GrowerTx,
  growerId: string,
  asOf: CalendarDay,
  strains: readonly StrainRow[],
): Promise<Learned> {
  const scope = { from: addDays(asOf, -MEMORY_DAYS), strainId: null };
  const made = [...(await listLotCells(tx, growerId, scope)), ...(await listBroughtCells(tx, growerId, scope))];
  const cells = settledCells(made, asOf);
  const ripenings = await listRipenings(tx, growerId, scope);
  const hazard = await readHazard(tx, growerId, scope, asOf);
  const published = publishedLoss(strains);
  const losses = lossByStrain(cells, published);
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
            publishedLoss: published(strain.id),
            lots: lotsLost(cells, strain.id),
            ripening: ripening !== null && ripening.jars > 0 ? ripening : null,
          },
        ] as const;
      }),
    ),
  };
}
