import { agingQ10 } from '../aging/keeping-time.js';
import { grainKinds, kernelDensityGPerMl, usualFillShare, usualTargetMoisture } from '../grain/grain-kinds.js';
import { mineralRecipes } from '../grain/minerals.js';
import { preparationSteps } from '../grain/preparation-guide.js';
import { respirationLossShare } from '../grain/ripe-mass.js';
import { heatMethods, pressureHoldMin } from '../sterilising/methods.js';
import { spores } from '../sterilising/spore-kill.js';
import { usualFlushShares } from '../yield/flush-shares.js';
import { otherSpecies, speciesCatalogue } from './catalogue.js';
import type { Published } from './published-value.js';
import type { CroppingDefaults, SpawnDefaults, SpeciesProfile } from './species-profile.js';

/** A published number in use, and what it is used for. */
export interface PublishedEntry {
  /** Heading it stands under. */
  readonly area: string;
  readonly what: string;
  readonly unit: string;
  readonly published: Published;
}

type Labels<T> = {
  readonly [K in keyof T as T[K] extends Published | null ? K : never]: readonly [what: string, unit: string];
};

const spawnLabels: Labels<SpawnDefaults> = {
  daysToRipe: ['days to ripe on grain', 'days'],
  incubationTemperatureC: ['incubation temperature', '°C'],
  growthOptimumC: ['temperature of fastest growth', '°C'],
  warmLifeDays: ['keeps warm', 'days'],
  coldLifeDays: ['keeps cold', 'days'],
  coldStoreTemperatureC: ['cold store temperature', '°C'],
  coldHarmBelowC: ['not to be chilled below', '°C'],
  lossRate: ['share lost before ripe', 'fraction'],
  inoculumShare: ['inoculum per jar', 'fraction of its volume'],
  lastGeneration: ['last generation on grain', 'generation'],
};

const croppingLabels: Labels<CroppingDefaults> = {
  spawnRate: ['spawn rate, wet/wet', 'fraction'],
  biologicalEfficiency: ['biological efficiency', 'fraction'],
  spawnRunDays: ['spawn run of bulk substrate', 'days'],
  pinningDays: ['colonised to pins', 'days'],
  fruitingDays: ['pins to harvest', 'days'],
  flushes: ['flushes', 'flushes'],
  daysBetweenFlushes: ['between flushes', 'days'],
};

/** Every published number the product starts from. `docs/sources.md` is made from this list. */
export function everyPublishedValue(): readonly PublishedEntry[] {
  return [...speciesCatalogue, otherSpecies].flatMap(ofSpecies).concat(ofGrain(), ofSterilising(), [
    { area: 'Ageing', what: 'ageing at 10 degrees more', unit: 'times as fast', published: agingQ10 },
    ...usualFlushShares.map((published, i) => ({
      area: 'Yield',
      what: `share of flush ${i + 1}`,
      unit: 'fraction',
      published,
    })),
  ]);
}

function ofSpecies({ latinName, tradeNames, spawn, cropping }: SpeciesProfile): readonly PublishedEntry[] {
  const area = `${latinName} (${tradeNames[0]})`;
  const labelled = <T>(values: T, labels: Labels<T>) =>
    (Object.entries(labels) as [keyof T, readonly [string, string]][]).flatMap(([field, [what, unit]]) => {
      const published = values[field] as Published | null;
      return published ? [{ area, what, unit, published }] : [];
    });
  return [...labelled(spawn, spawnLabels), ...labelled(cropping, croppingLabels)];
}

function ofGrain(): PublishedEntry[] {
  const area = 'Grain';
  const kinds = grainKinds.flatMap(({ name, bulkDensityGPerMl, moisture }) => [
    { area, what: `${name}, bulk density`, unit: 'g/ml', published: bulkDensityGPerMl },
    { area, what: `${name}, moisture as bought`, unit: 'fraction, wet basis', published: moisture },
  ]);
  const minerals = mineralRecipes.flatMap(({ name, gypsumShare, chalkShare }) => [
    ...(gypsumShare ? [{ area, what: `gypsum in "${name}"`, unit: 'fraction of grain', published: gypsumShare }] : []),
    ...(chalkShare ? [{ area, what: `chalk in "${name}"`, unit: 'fraction of grain', published: chalkShare }] : []),
  ]);
  const steps = new Set([...preparationSteps(true), ...preparationSteps(false)]);
  return [
    ...kinds,
    { area, what: 'density of kernels', unit: 'g/ml', published: kernelDensityGPerMl },
    { area, what: 'moisture of finished grain', unit: 'fraction, wet basis', published: usualTargetMoisture },
    { area, what: 'fill of a jar', unit: 'fraction of its volume', published: usualFillShare },
    { area, what: 'mass lost by respiration', unit: 'fraction', published: respirationLossShare },
    ...minerals,
    ...[...steps].map(({ key, minutes }) => ({ area, what: `time to ${key}`, unit: 'minutes', published: minutes })),
  ];
}

function ofSterilising(): PublishedEntry[] {
  const area = 'Sterilising';
  return [
    ...heatMethods.map(({ name, holdMin }) => ({ area, what: `hold, ${name}`, unit: 'minutes', published: holdMin })),
    ...[1000, 2000, 4000, 15_000].map((ml) => ({
      area,
      what: `hold under pressure, container up to ${ml} ml`,
      unit: 'minutes',
      published: pressureHoldMin(ml),
    })),
    ...spores.flatMap(({ name, dMin, zC }) => [
      { area, what: `D at 121.1 °C, ${name}`, unit: 'minutes', published: dMin },
      { area, what: `z, ${name}`, unit: '°C', published: zC },
    ]),
  ];
}
