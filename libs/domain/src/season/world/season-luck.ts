import type { StrainChance } from '../../assurance/farm-chance.js';
import { type LotLuck, Luck } from '../../assurance/luck.js';
import { type SeededRandom, seededRandom } from '../../statistics/seeded-random.js';
import type { SeasonFarm } from '../season-farm.js';

/** Days one mother lot is inoculated from, as far as luck goes. */
const MOTHER_DAYS = 28;

/**
 * The luck of a season. It hangs on the seed, the strain and the day something is started, never on who decides: all
 * policies live the same season.
 */
export class SeasonLuck {
  private readonly farm: SeasonFarm;
  private readonly seed: number;
  private readonly luck: Luck;

  constructor(farm: SeasonFarm, seed: number) {
    this.farm = farm;
    this.seed = seed;
    this.luck = new Luck(seed, 1);
  }

  /** Luck of what is started of a strain on a day, for who knows the season. */
  fateOf(strain: number, day: number): { readonly lossRate: number; readonly ripeDays: number } {
    const { lot } = this.lotOf(strain, day);
    return { lossRate: this.lossOf(lot.rateIn(0), day), ripeDays: Math.max(1, this.middleDays(strain, day)) };
  }

  lotOf(strain: number, day: number): { readonly lot: LotLuck; readonly chance: StrainChance } {
    const chance = this.chanceOf(strain);
    const ties = {
      lot: `${chance.strainId}|${day}`,
      grainBatch: `${day}`,
      cycle: `${day}|0`,
      mother: `${chance.strainId}|${Math.floor(day / MOTHER_DAYS)}`,
    };
    return { lot: this.luck.lot(chance, ties), chance };
  }

  /** Days until half of what is started of a strain on a day is ripe. */
  middleDays(strain: number, day: number): number {
    const { lot, chance } = this.lotOf(strain, day);
    return (chance.daysToRipe + chance.lotDeviationDays * lot.ripening[0]!) * this.growthFactor;
  }

  /** How much longer growth takes than the farm knows. */
  get growthFactor(): number {
    return 1 + (this.farm.turns.slowerGrowth ?? 0);
  }

  /** Numbers for the single containers of a lot. */
  containersOf(strain: number, day: number): SeededRandom {
    return seededRandom(this.seed * 65_537 + day * 131 + strain * 17 + 3);
  }

  isMissed(day: number): boolean {
    return seededRandom(this.seed * 7919 + day * 31 + 5).uniform() < this.farm.missedBenchShare;
  }

  private chanceOf(strain: number): StrainChance {
    const { id } = this.farm.start.strains[strain]!;
    return this.farm.believed.strains.find(({ strainId }) => strainId === id)!;
  }

  private lossOf(rate: number, day: number): number {
    const { lossDrift = 0, badBatchShare = 0, badBatchLoss = 0 } = this.farm.turns;
    const drifted = rate * (1 + lossDrift * Math.sin((2 * Math.PI * day) / 364));
    const bad = badBatchShare > 0 && seededRandom(this.seed * 104_729 + day * 7 + 1).uniform() < badBatchShare;
    return Math.min(0.999, Math.max(0, bad ? drifted + (1 - drifted) * badBatchLoss : drifted));
  }
}
