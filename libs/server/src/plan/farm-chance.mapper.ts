import {
  type ChanceGrounds,
  type FarmChance,
  type FarmSituation,
  learnedStrainChance,
  usualChance,
} from '@jarfold/domain/planning';
import type { Learned } from '../rates/index.js';

/** How a farm's spawn departs from what is expected, and where that was taken from. */
export interface GroundedChance {
  readonly chance: FarmChance;
  readonly grounds: readonly ChanceGrounds[];
}

/** Chance as the farm's log has it, strain by strain; as usual where the log is thin. */
export function farmChanceFrom(situation: FarmSituation, { strains }: Learned): GroundedChance {
  const farmLots = [...strains.values()].map(({ lots }) => lots);
  const learned = situation.strains.map((strain) => {
    const { lossRate, publishedLoss, lots, ripening } = strains.get(strain.id)!;
    const evidence = {
      ...{ loss: lossRate, published: publishedLoss, lots },
      ripening: ripening?.onThisFarm ?? null,
      ripeningJars: ripening?.jars ?? 0,
    };
    return learnedStrainChance(strain, evidence, farmLots);
  });
  return {
    chance: { ...usualChance(situation), strains: learned.map(({ chance }) => chance) },
    grounds: learned.map(({ grounds }) => grounds),
  };
}
