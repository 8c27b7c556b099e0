import { type PublishedRate, ratePrior } from '../contamination/shrunk-rates.js';
import type { RipeningDays } from '../growth/days-to-ripe.js';
import type { StrainProfile } from '../planning/situation.js';
import type { PlanValue } from '../rates/learned-values.js';
import type { Group } from '../statistics/beta-binomial.js';
import { logGamma } from '../statistics/distributions.js';
import { type StrainChance, usualStrainChance } from './farm-chance.js';

/** What a farm's log says of one strain's chance. */
export interface StrainEvidence {
  /** The loss the strain is planned with, and where it is from. */
  readonly loss: PlanValue;
  /** The loss published of its species, and how many jars it is worth. */
  readonly published: PublishedRate;
  /** Settled lots: jars lost of jars started. */
  readonly lots: readonly Group[];
  /** Days to ripe as its checks tell; null while none was seen. */
  readonly ripening: RipeningDays | null;
  readonly ripeningJars: number;
}

/** Where a strain's chance was taken from. */
export interface ChanceGrounds {
  readonly strainId: string;
  /** `farm`: the farm's own word; `learned`: its log; `species`: what is published. */
  readonly loss: PlanValue['origin'];
  readonly lots: number;
  readonly jars: number;
  /** How unevenly lots turn out: from the strain's own lots, from all the farm's, or as usual. */
  readonly spread: 'strain' | 'farm' | 'usual';
  /** When jars ripen: learned from so many jars, or as usual. */
  readonly ripening: 'learned' | 'usual';
  readonly ripeningJars: number;
}

/** Lots that weigh as much as the usual spread between lots; our own, no source. */
const USUAL_SPREAD_LOTS = 12;
/** So many standard deviations lie within a 95 % interval. */
const WIDTH_OF_INTERVAL = 3.92;

/**
 * A strain's chance as its farm's log has it: losses with how well they are known, how unevenly lots turn out, and how
 * jars ripen; the usual values as far as the log is thin. A loss that few jars tell widens what all lots of the strain
 * have in common. Rounded, so that plans hold still.
 * @param farmLots settled lots of all strains, for a strain with few of its own
 */
export function learnedStrainChance(
  strain: Pick<StrainProfile, 'id' | 'lossRate' | 'daysToRipe'>,
  evidence: StrainEvidence,
  farmLots: readonly (readonly Group[])[],
): { readonly chance: StrainChance; readonly grounds: ChanceGrounds } {
  const { loss, lots, ripening, ripeningJars } = evidence;
  const usual = usualStrainChance(strain, centreOf(strain, ripening));
  const spread = spreadOf(evidence, farmLots, usual.lotCorrelation);
  return {
    chance: { ...usual, ...lossChance(usual, evidence, spread.correlation), ...ripeningChance(usual, ripening) },
    grounds: {
      strainId: strain.id,
      loss: loss.origin,
      lots: lots.length,
      jars: lots.reduce((sum, { n }) => sum + n, 0),
      spread: spread.from,
      ripening: ripening === null ? 'usual' : 'learned',
      ripeningJars,
    },
  };
}

/** Half are ripe by what was seen, unless the farm's own word says otherwise than the log by more than a rounding. */
function centreOf({ daysToRipe }: Pick<StrainProfile, 'daysToRipe'>, ripening: RipeningDays | null) {
  if (ripening === null || Math.ceil(ripening.usualDays) !== daysToRipe) return {};
  return { daysToRipe: rounded(ripening.median.value, 0.1) };
}

function spreadOf(
  { lots }: StrainEvidence,
  farmLots: readonly (readonly Group[])[],
  usual: number,
): { readonly correlation: number; readonly from: ChanceGrounds['spread'] } {
  const own = fittedSpread([lots]);
  if (own !== null) return { correlation: blended(own, usual, lots.length), from: 'strain' };
  const farm = fittedSpread(farmLots);
  const count = farmLots.reduce((sum, each) => sum + each.length, 0);
  return farm === null
    ? { correlation: usual, from: 'usual' }
    : { correlation: blended(farm, usual, count), from: 'farm' };
}

const blended = (fitted: number, usual: number, lots: number): number =>
  (fitted * lots + usual * USUAL_SPREAD_LOTS) / (lots + USUAL_SPREAD_LOTS);

/** Correlation of loss within a lot, strains apart, weighed by their lots; null where the log does not tell. */
function fittedSpread(strains: readonly (readonly Group[])[]): number | null {
  let [sum, lots] = [0, 0];
  for (const groups of strains) {
    const { from, guesses } = ratePrior(groups, { mean: 0.5, jars: 1 });
    if (from !== 'own groups') continue;
    const correlation = guesses.reduce((total, { a, b, weight }) => total + weight / (a + b + 1), 0);
    sum += groups.length * correlation;
    lots += groups.length;
  }
  return lots === 0 ? null : sum / lots;
}

/** That the rate is not known exactly is a part of what makes lots differ, and one that all lots of the strain share. */
function lossChance(
  { shared, lossRate }: StrainChance,
  { loss, published }: StrainEvidence,
  within: number,
): Pick<StrainChance, 'lotCorrelation' | 'shared'> {
  const chanceOfOne = lossRate * (1 - lossRate);
  const doubt = chanceOfOne > 0 ? doubtOf(loss, published) / chanceOfOne : 0;
  const correlation = Math.min(0.9, within + doubt);
  const left = correlation > 0 ? within / correlation : 1;
  const part = (share: number) => rounded(share * left, 0.01);
  return {
    lotCorrelation: rounded(correlation, 0.005),
    shared: {
      strain: rounded(1 - left + shared.strain * left, 0.01),
      grainBatch: part(shared.grainBatch),
      cycle: part(shared.cycle),
      mother: part(shared.mother),
    },
  };
}

/** Variance of the strain's rate given what is known of it; none beside the farm's own word. */
function doubtOf({ origin, low, high }: PlanValue, { mean, jars }: PublishedRate): number {
  if (origin === 'farm') return 0;
  if (origin === 'learned' && low !== null && high !== null) return ((high - low) / WIDTH_OF_INTERVAL) ** 2;
  return (mean * (1 - mean)) / (jars + 1);
}

/** The seen spread, as far as it is the farm's own, parted between lots and their jars as usual. */
function ripeningChance(usual: StrainChance, ripening: RipeningDays | null): Partial<StrainChance> {
  if (ripening === null) return {};
  const { lotDeviationDays, containerDeviationDays, ripeningShared } = usual;
  const usualSpread = Math.hypot(lotDeviationDays, containerDeviationDays);
  const { ownShare, median } = ripening;
  const spread = ownShare * weibullDeviation(ripening) + (1 - ownShare) * usualSpread;
  const doubt = ((median.high - median.low) / WIDTH_OF_INTERVAL) ** 2;
  const lot = (spread * lotDeviationDays) / usualSpread;
  const between = lot ** 2 + doubt;
  return {
    lotDeviationDays: rounded(Math.sqrt(between), 0.1),
    containerDeviationDays: rounded((spread * containerDeviationDays) / usualSpread, 0.1),
    ripeningShared: between > 0 ? rounded((ripeningShared * lot ** 2 + doubt) / between, 0.01) : ripeningShared,
  };
}

function weibullDeviation({ shape, scaleDays }: RipeningDays): number {
  const moment = (k: number) => Math.exp(logGamma(1 + k / shape));
  return scaleDays * Math.sqrt(Math.max(0, moment(2) - moment(1) ** 2));
}

function rounded(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toFixed(3));
}
