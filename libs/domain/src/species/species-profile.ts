import type { Published } from './published-value.js';

/**
 * What is known of a species before a farm has records of its own. Every number is a starting value that a farm may
 * replace strain by strain; a strain can differ from its species by a factor of two.
 */
export interface SpeciesProfile {
  /** Stable key, kept in the database: the Latin name with a hyphen. */
  readonly key: string;
  readonly latinName: string;
  /** Trade names, the usual one first, in lower case. */
  readonly tradeNames: readonly string[];
  /** Two letters a grower may start a strain's short code with. */
  readonly codeHint: string;
  readonly spawn: SpawnDefaults;
  readonly cropping: CroppingDefaults;
}

/** Making and keeping grain spawn. */
export interface SpawnDefaults {
  /** Days from inoculating a jar of grain with grain spawn until it is ripe, at the incubation temperature. */
  readonly daysToRipe: Published;
  readonly incubationTemperatureC: Published;
  readonly growthOptimumC: Published;
  /** Days a ripe jar stays good in the incubation room. */
  readonly warmLifeDays: Published;
  /** Days a ripe jar stays good from the day it is chilled; null for a species that is not chilled. */
  readonly coldLifeDays: Published | null;
  readonly coldStoreTemperatureC: Published;
  /** False for species the cold harms: they are planned without chilling unless the farm says otherwise. */
  readonly mayBeChilled: boolean;
  /** Why it may not be chilled, as a published lowest temperature; null when it may. */
  readonly coldHarmBelowC: Published | null;
  /** Share of started jars lost before they are ripe. */
  readonly lossRate: Published;
  /** How many jars of evidence the starting loss rate is worth when the farm's own jars are counted against it. */
  readonly lossPriorJars: number;
  /** Inoculum as a share of the new jar's volume. */
  readonly inoculumShare: Published;
  /** The highest generation on grain that is usually made; the culture is generation 0. */
  readonly lastGeneration: Published;
}

/** From bulk substrate to harvest. */
export interface CroppingDefaults {
  /** Spawn per substrate, both wet. */
  readonly spawnRate: Published;
  /** Fresh mushrooms per dry substrate, all flushes, as a fraction (0.75 is 75 %). */
  readonly biologicalEfficiency: Published;
  /** Days from spawning the bulk substrate until it is colonised. */
  readonly spawnRunDays: Published;
  /** Days from colonised to pins. */
  readonly pinningDays: Published;
  /** Days from pins to harvest. */
  readonly fruitingDays: Published;
  readonly flushes: Published;
  readonly daysBetweenFlushes: Published;
}
