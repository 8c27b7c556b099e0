import { requireThat } from '../errors.js';
import { type Estimate, usualLevel } from '../statistics/estimate.js';
import type { Between } from '../statistics/weibull.js';
import { posteriorQuantile, type WeibullPosterior, weibullPosterior } from '../statistics/weibull-posterior.js';
import { type CardinalTemperatures, daysAtTemperature } from './cardinal-temperature.js';

/** What one jar's checks said, with its generation and the room it stood in. */
export interface RipeningJar extends Between {
  readonly generation: number;
  /** Mean of the room while it grew; null when not known: the room's usual temperature is taken. */
  readonly temperatureC: number | null;
}

export interface RipeningSettings {
  /** Published days to ripe at `referenceC`. */
  readonly publishedDays: number;
  /** Temperature the days are told for. */
  readonly referenceC: number;
  readonly cardinals: CardinalTemperatures;
  readonly level?: number;
}

export interface RipeningDays {
  /** Days by which half are ripe, with interval and number of jars. */
  readonly median: Estimate;
  readonly earlyDays: number;
  readonly usualDays: number;
  /** Days by which nine in ten are ripe: what a careful plan counts on. */
  readonly lateDays: number;
  readonly shape: number;
  readonly scaleDays: number;
  /** Share of the knowledge that is the farm's own. */
  readonly ownShare: number;
}

export interface StrainRipening {
  readonly all: RipeningDays;
  readonly byGeneration: ReadonlyMap<number, RipeningDays>;
  /** Jars left out: their room was too cold or hot to grow at all by the model. */
  readonly leftOut: number;
}

/** A strain may well be half again as quick or slow as its species. */
const STRAIN_DEVIATION = 0.25;
/** Generations of one strain differ less from each other than strains do. */
const GENERATION_DEVIATION = 0.1;
/** Jars of a lot ripen within about 15 % of each other. */
const RIPENING_SHAPE = 8;

/**
 * Days to ripe of a strain, overall and by generation, at a reference temperature: from the published days and the
 * farm's own checks, which only bracket the day. Jars from other rooms are brought to the reference by the growth curve.
 * @throws DomainError `time-out-of-range`, `generation-out-of-range`
 */
export function strainRipening(jars: readonly RipeningJar[], settings: RipeningSettings): StrainRipening {
  const { publishedDays, level = usualLevel } = settings;
  const brought = jars.flatMap((jar) => atReference(jar, settings));
  const prior = {
    share: 0.5,
    days: publishedDays,
    logDeviation: STRAIN_DEVIATION,
    shape: RIPENING_SHAPE,
    shapeLogDeviation: 0.4,
  };
  const overall = weibullPosterior(brought.map(counted), prior, level);
  const generations = [...new Set(brought.map(({ generation }) => generation))].sort((a, b) => a - b);
  const doubt = Math.log(overall.days.high / overall.days.low) / 4;
  const byGeneration = new Map(
    generations.map((generation) => {
      const own = brought.filter((jar) => jar.generation === generation).map(counted);
      const start = {
        ...prior,
        days: overall.days.value,
        logDeviation: Math.hypot(GENERATION_DEVIATION, doubt),
        shape: overall.shape,
      };
      return [generation, described(weibullPosterior(own, start, level))] as const;
    }),
  );
  return { all: described(overall), byGeneration, leftOut: jars.length - brought.length };
}

const counted = ({ afterDays, byDays, count = 1 }: RipeningJar): Between => ({ afterDays, byDays, count });

function atReference(jar: RipeningJar, { referenceC, cardinals }: RipeningSettings): readonly RipeningJar[] {
  requireThat(
    Number.isInteger(jar.generation) && jar.generation >= 0,
    'generation-out-of-range',
    `A generation is whole and 0 or more, not ${jar.generation}.`,
  );
  if (jar.temperatureC === null) return [jar];
  const factor = daysAtTemperature(1, jar.temperatureC, referenceC, cardinals);
  if (factor === null) return [];
  return [{ ...jar, afterDays: jar.afterDays * factor, byDays: jar.byDays === null ? null : jar.byDays * factor }];
}

function described(posterior: WeibullPosterior): RipeningDays {
  return {
    median: posterior.days,
    earlyDays: posteriorQuantile(posterior, 0.1),
    usualDays: posteriorQuantile(posterior, 0.5),
    lateDays: posteriorQuantile(posterior, 0.9),
    shape: posterior.shape,
    scaleDays: posterior.scaleDays,
    ownShare: posterior.ownShare,
  };
}

/** Whether a lot is slower than its strain: still unripe on a day by which nearly all should be ripe. */
export interface SlowLot {
  readonly kind: 'on time' | 'slow';
  /** Chance of being unripe so late for a jar of the strain. */
  readonly chance: number;
}

/**
 * Judges a lot that is not ripe yet.
 * @param days since inoculation at the last look that found it unripe
 * @param alarm called slow when the strain would be unripe so late with less than this chance
 */
export function slowLot({ shape, scaleDays }: RipeningDays, days: number, alarm = 0.02): SlowLot {
  requireThat(days >= 0, 'time-out-of-range', `Days since inoculation are 0 or more, not ${days}.`);
  const chance = Math.exp(-((days / scaleDays) ** shape));
  return { kind: chance < alarm ? 'slow' : 'on time', chance };
}
