import { type CardinalTemperatures, usualCardinals } from '../growth/cardinal-temperature.js';
import { type RipeningDays, type RipeningJar, strainRipening } from '../growth/days-to-ripe.js';
import type { SpeciesProfile } from '../species/species-profile.js';

/** Jars of one strain and room that were seen unripe and ripe on the same days after inoculation. */
export interface SeenRipening {
  readonly strainId: string;
  readonly generation: number;
  readonly roomId: string | null;
  readonly temperatureC: number | null;
  /** Days after inoculation of the last look that found it unripe. */
  readonly afterDays: number;
  /** Of the first look that found it ripe; null: not yet. */
  readonly byDays: number | null;
  readonly jars: number;
}

export interface RipeningOfStrain {
  /** Told for `referenceC`. */
  readonly all: RipeningDays;
  readonly byGeneration: ReadonlyMap<number, RipeningDays>;
  /** As they ripen in each room, at its own temperature. */
  readonly byRoom: ReadonlyMap<string, RipeningDays>;
  /** As they ripen on this farm, whatever its rooms are like: what plans are made with. */
  readonly onThisFarm: RipeningDays;
  readonly referenceC: number;
  readonly jars: number;
  /** Jars left out: their looks contradict each other, or their room is too cold or warm to grow in. */
  readonly leftOut: number;
}

/**
 * Days to ripe of one strain from its farm's checks, drawn toward the days to start from.
 * @param startDays the farm's own word or the published days, above 0
 */
export function ripeningOfStrain(
  seen: readonly SeenRipening[],
  startDays: number,
  { spawn }: SpeciesProfile,
): RipeningOfStrain {
  const sound = seen.filter(isSound);
  const settings = {
    publishedDays: startDays,
    referenceC: spawn.incubationTemperatureC.value,
    cardinals: cardinalsOf(spawn),
  };
  const { all, byGeneration, leftOut } = strainRipening(sound.map(asJar), settings);
  const inPlace = (own: readonly SeenRipening[]) =>
    strainRipening(
      own.map((each) => ({ ...asJar(each), temperatureC: null })),
      settings,
    ).all;
  const rooms = [...new Set(sound.flatMap(({ roomId }) => (roomId === null ? [] : [roomId])))];
  const jars = countJars(sound);
  return {
    ...{ all, byGeneration, jars, referenceC: settings.referenceC },
    byRoom: new Map(rooms.map((roomId) => [roomId, inPlace(sound.filter((each) => each.roomId === roomId))])),
    onThisFarm: inPlace(sound),
    leftOut: countJars(seen) - jars + leftOut,
  };
}

/** A look before inoculation, or unripe after ripe: a clock or a look is wrong. */
const isSound = ({ afterDays, byDays }: SeenRipening): boolean =>
  afterDays >= 0 && (byDays === null || byDays > afterDays);

const asJar = ({ generation, temperatureC, afterDays, byDays, jars }: SeenRipening): RipeningJar => ({
  ...{ generation, temperatureC, afterDays, byDays, count: jars },
});

const countJars = (seen: readonly SeenRipening[]): number => seen.reduce((sum, { jars }) => sum + jars, 0);

/** A species the cold harms is one of the tropics. */
const cardinalsOf = ({ growthOptimumC, coldHarmBelowC }: SpeciesProfile['spawn']): CardinalTemperatures =>
  usualCardinals(growthOptimumC.value, coldHarmBelowC !== null);
