import { requireThat } from '../errors.js';
import type { FarmSituation, StrainProfile } from '../planning/situation.js';

/** How a farm's spawn departs from what is expected of it. */
export interface FarmChance {
  readonly strains: readonly StrainChance[];
  /** Share of bench days that fall out without notice; what was to be started then is started on the next one. */
  readonly missedBenchShare: number;
}

/** Chance as one strain meets it. Shares of one and the same whole add up to at most 1; what is left is each lot's own. */
export interface StrainChance {
  readonly strainId: string;
  /** Share of started containers lost before they are ripe, on average over lots; 0 to below 1. */
  readonly lossRate: number;
  /** Correlation of loss between two containers of one lot, 0 to below 1: clean containers of n are beta-binomial. */
  readonly lotCorrelation: number;
  /** Shares of what makes lots differ that lots have in common. */
  readonly shared: {
    /** All lots of the strain: that its rate is not known exactly, and what the whole season does to it. */
    readonly strain: number;
    /** Lots whose grain was prepared for the same bench day. */
    readonly grainBatch: number;
    /** Lots of one steriliser load. */
    readonly cycle: number;
    /** Lots from one mother lot. */
    readonly mother: number;
  };
  /** Days from inoculation until half of a usual lot is ripe. */
  readonly daysToRipe: number;
  /** Standard deviation of a lot's days to ripe around that. */
  readonly lotDeviationDays: number;
  /** Standard deviation of a container's days to ripe within its lot. */
  readonly containerDeviationDays: number;
  /** Share of the lots' variance in ripening that all lots of the strain have in common (a cool room). */
  readonly ripeningShared: number;
  /** Standard deviation of how long ripe spawn keeps, as a share of its expected warm or cold life. */
  readonly lifeDeviation: number;
}

/**
 * Starting values until a farm's own log says more; our own, no source. A correlation of 0.04 lets a lot of twenty at
 * 8 % vary about a third more than coin tosses would; ripening varies by about a day either way.
 */
const USUAL = {
  lotCorrelation: 0.04,
  shared: { strain: 0.15, grainBatch: 0.15, cycle: 0.15, mother: 0.15 },
  lotDeviationShare: 0.07,
  containerDeviationShare: 0.06,
  ripeningShared: 0.3,
  lifeDeviation: 0.1,
  missedBenchShare: 0.02,
};

/** Chance for a farm of which no more is known than its planned values. */
export function usualChance(situation: FarmSituation): FarmChance {
  const strains = situation.strains.map((strain) => usualStrainChance(strain));
  return { strains, missedBenchShare: USUAL.missedBenchShare };
}

/** Chance for one strain around its planned values; what is known better replaces a part. */
export function usualStrainChance(
  strain: Pick<StrainProfile, 'id' | 'lossRate' | 'daysToRipe'>,
  known: Partial<Omit<StrainChance, 'strainId'>> = {},
): StrainChance {
  const daysToRipe = known.daysToRipe ?? strain.daysToRipe;
  return {
    strainId: strain.id,
    lossRate: strain.lossRate,
    lotCorrelation: USUAL.lotCorrelation,
    shared: USUAL.shared,
    daysToRipe,
    lotDeviationDays: USUAL.lotDeviationShare * daysToRipe,
    containerDeviationDays: USUAL.containerDeviationShare * daysToRipe,
    ripeningShared: USUAL.ripeningShared,
    lifeDeviation: USUAL.lifeDeviation,
    ...known,
  };
}

/** Chance in which everything goes as planned: what is lost is lost in proportion, and every day is the expected one. */
export function noChance(situation: FarmSituation): FarmChance {
  const still = { lossRate: 0, lotCorrelation: 0, lotDeviationDays: 0, containerDeviationDays: 0, lifeDeviation: 0 };
  return { strains: situation.strains.map((strain) => usualStrainChance(strain, still)), missedBenchShare: 0 };
}

/** @throws DomainError `chance-not-valid` when a value has no meaning. */
export function requireChance({ strains, missedBenchShare }: FarmChance): void {
  requireThat(
    missedBenchShare >= 0 && missedBenchShare < 1,
    'chance-not-valid',
    `The share of missed bench days lies from 0 to below 1, not ${missedBenchShare}.`,
    { value: missedBenchShare },
  );
  for (const strain of strains) {
    const { strain: strainShare, grainBatch, cycle, mother } = strain.shared;
    const shares = [strainShare, grainBatch, cycle, mother, strain.ripeningShared];
    const whole = strainShare + grainBatch + cycle + mother <= 1 + 1e-9 && strain.ripeningShared <= 1;
    refuseUnless(whole && shares.every((share) => share >= 0), strain, 'shares from 0 that add up to at most 1');
    for (const rate of [strain.lossRate, strain.lotCorrelation])
      refuseUnless(rate >= 0 && rate < 1, strain, 'rates from 0 to below 1');
    const spreads = [strain.lotDeviationDays, strain.containerDeviationDays, strain.lifeDeviation];
    refuseUnless(
      spreads.every((spread) => spread >= 0 && Number.isFinite(spread)) && strain.daysToRipe > 0,
      strain,
      'deviations of 0 or more and days to ripe above 0',
    );
  }
}

function refuseUnless(condition: boolean, { strainId }: StrainChance, wanted: string): void {
  requireThat(condition, 'chance-not-valid', `Chance for strain ${strainId} needs ${wanted}.`, { strainId });
}
