import { customary, type Published, published } from './published-value.js';
import type { CroppingDefaults, SpawnDefaults, SpeciesProfile } from './species-profile.js';

/** Starting loss rate: the lower end of what beginners reported for bags; no open count for grain jars was found. */
const lossRate = published(0.1, 'SAU-2611', 'read', {
  range: [0.1, 0.3],
  note: 'bags of oyster growers, 30 % in summer and under 20 % in winter; no open count for grain jars was found',
});

const coldStoreTemperatureC = published(3, 'GGMM', 'copy', { range: [1.6, 4.4] });
const coldLifeDays = published(56, 'GGMM', 'copy', {
  range: [28, 60],
  note: 'several weeks; at day 60 from inoculation good spawn can be half as viable as at day 30',
});
const warmLifeDays = customary(14, { range: [7, 21] });
const inoculumShare = published(0.1, 'GGMM', 'copy', { note: 'about one part to ten, p. 138' });
const lastGeneration = published(3, 'GGMM', 'copy', { range: [2, 4], note: 'p. 138' });

/** What holds for every species unless its own entry says more. */
const usualSpawn = {
  coldStoreTemperatureC,
  warmLifeDays,
  coldLifeDays,
  mayBeChilled: true,
  coldHarmBelowC: null,
  lossRate,
  lossPriorJars: 20,
  inoculumShare,
  lastGeneration,
} satisfies Partial<SpawnDefaults>;

const wetSpawnRate = published(0.05, 'PSU-O', 'copy', { range: [0.0125, 0.05], note: 'up to 5 % of wet mass, oyster' });
const oysterSpawnRate = published(0.05, 'Royse-2002', 'read', {
  range: [0.0125, 0.05],
  note: 'best yield at 3.75 to 5 % of wet mass, P. cornucopiae',
});

const usualCropping = {
  spawnRate: wetSpawnRate,
  flushes: customary(2, { range: [1, 3] }),
  daysBetweenFlushes: customary(12, { range: [7, 21] }),
} satisfies Partial<CroppingDefaults>;

const usualEfficiency = published(0.75, 'GGMM', 'copy', {
  range: [0.5, 1.25],
  note: 'good working range 75 to 125 %, p. 58; no figure for this species was found',
});

const range = (
  value: number,
  low: number,
  high: number,
  source: Published['source'],
  confidence: Published['confidence'],
  note?: string,
): Published =>
  published(value, source, confidence, note === undefined ? { range: [low, high] } : { range: [low, high], note });

const bulkNote = 'spawn run of fruiting substrate; grain usually falls in or under the same range';

export const oyster: SpeciesProfile = {
  key: 'pleurotus-ostreatus',
  latinName: 'Pleurotus ostreatus',
  tradeNames: ['oyster', 'oyster mushroom', 'blue oyster', 'grey oyster', 'pearl oyster'],
  codeHint: 'OY',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(14, 9, 18, 'VIK', 'read', '15 days, best used at 15 to 18; 9 days on barley at 24 °C (Kalhout)'),
    incubationTemperatureC: published(24, 'GGMM', 'copy'),
    growthOptimumC: range(26, 22, 30, 'Zervakis-2001', 'read', 'published optima of the species run from 22 to 30 °C'),
    coldLifeDays: published(60, 'Kalhout', 'read', {
      note: 'fully viable for two months at 4 °C, then a gradual fall',
    }),
  },
  cropping: {
    ...usualCropping,
    spawnRate: oysterSpawnRate,
    biologicalEfficiency: range(
      0.75,
      0.394,
      1.14,
      'PMC7407021',
      'read',
      '105 % on wheat straw, 54 to 80 % with olive prunings; 39 to 114 % across other studies',
    ),
    spawnRunDays: range(16, 12, 21, 'GGMM', 'copy'),
    pinningDays: range(4, 3, 5, 'GGMM', 'copy'),
    fruitingDays: range(5, 4, 7, 'GGMM', 'copy'),
    flushes: range(3, 3, 4, 'GGMM', 'copy'),
    daysBetweenFlushes: range(10, 7, 14, 'GGMM', 'copy'),
  },
};

export const phoenixOyster: SpeciesProfile = {
  key: 'pleurotus-pulmonarius',
  latinName: 'Pleurotus pulmonarius',
  tradeNames: ['phoenix oyster', 'indian oyster', 'summer oyster'],
  codeHint: 'PO',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(12, 8, 14, 'GGMM', 'copy', bulkNote),
    incubationTemperatureC: range(26, 24, 29, 'GGMM', 'copy', 'p. 325'),
    growthOptimumC: published(30, 'Zervakis-2001', 'read'),
  },
  cropping: {
    ...usualCropping,
    spawnRate: oysterSpawnRate,
    biologicalEfficiency: range(0.61, 0.52, 0.9, 'Shnyreva-2017', 'read', 'first flush only'),
    spawnRunDays: range(11, 8, 14, 'GGMM', 'copy'),
    pinningDays: range(4, 3, 5, 'GGMM', 'copy'),
    fruitingDays: range(4, 3, 5, 'GGMM', 'copy'),
    flushes: published(3, 'GGMM', 'copy'),
    daysBetweenFlushes: range(8, 7, 10, 'GGMM', 'copy'),
  },
};

export const goldenOyster: SpeciesProfile = {
  key: 'pleurotus-citrinopileatus',
  latinName: 'Pleurotus citrinopileatus',
  tradeNames: ['golden oyster', 'yellow oyster'],
  codeHint: 'GO',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(12, 10, 14, 'GGMM', 'copy', bulkNote),
    incubationTemperatureC: range(26, 24, 29, 'GGMM', 'copy', 'p. 290'),
    growthOptimumC: customary(27, { range: [24, 29] }),
  },
  cropping: {
    ...usualCropping,
    spawnRate: oysterSpawnRate,
    biologicalEfficiency: range(
      0.5,
      0.2654,
      0.75,
      'Coffee-husk-2022',
      'read',
      '26.5 % on coffee husk; straw gives more',
    ),
    spawnRunDays: range(12, 10, 14, 'GGMM', 'copy'),
    pinningDays: range(4, 3, 5, 'GGMM', 'copy'),
    fruitingDays: range(4, 3, 5, 'GGMM', 'copy'),
    flushes: published(2, 'GGMM', 'copy'),
    daysBetweenFlushes: range(12, 10, 14, 'GGMM', 'copy'),
  },
};

export const pinkOyster: SpeciesProfile = {
  key: 'pleurotus-djamor',
  latinName: 'Pleurotus djamor',
  tradeNames: ['pink oyster', 'flamingo oyster'],
  codeHint: 'PK',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(12, 7, 26, 'Shnyreva-2017', 'read', '26 days on fruiting substrate there; 7 to 10 in handbooks'),
    incubationTemperatureC: range(27, 24, 30, 'GGMM', 'memory'),
    growthOptimumC: customary(28, { range: [24, 30] }),
    mayBeChilled: false,
    coldLifeDays: null,
    coldStoreTemperatureC: customary(15),
    coldHarmBelowC: customary(10, {
      note: 'kept from the cold by custom; no publication with a temperature was found',
    }),
  },
  cropping: {
    ...usualCropping,
    spawnRate: oysterSpawnRate,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: range(10, 7, 26, 'Shnyreva-2017', 'read', 'the slowest of seven species there'),
    pinningDays: range(3, 2, 4, 'GGMM', 'memory'),
    fruitingDays: range(4, 3, 5, 'GGMM', 'memory'),
    flushes: range(2, 2, 3, 'GGMM', 'memory'),
    daysBetweenFlushes: range(8, 7, 10, 'GGMM', 'memory'),
  },
};

export const kingOyster: SpeciesProfile = {
  key: 'pleurotus-eryngii',
  latinName: 'Pleurotus eryngii',
  tradeNames: ['king oyster', 'king trumpet'],
  codeHint: 'KO',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(15, 12, 18, 'GGMM', 'memory', bulkNote),
    incubationTemperatureC: published(24, 'GGMM', 'memory'),
    growthOptimumC: published(25, 'Zervakis-2001', 'read', {
      note: '28 strains: best of four temperatures 25 °C (Soylu 2016)',
    }),
  },
  cropping: {
    ...usualCropping,
    spawnRate: published(0.05, 'Deora-2021', 'read'),
    biologicalEfficiency: range(0.5, 0.4094, 0.75, 'Coffee-husk-2022', 'read', '40.9 % on coffee husk'),
    spawnRunDays: range(14, 12, 16, 'GGMM', 'memory'),
    pinningDays: range(5, 4, 5, 'GGMM', 'memory'),
    fruitingDays: range(5, 4, 6, 'GGMM', 'memory'),
    flushes: range(2, 1, 2, 'GGMM', 'memory'),
    daysBetweenFlushes: published(14, 'GGMM', 'memory'),
  },
};

export const shiitake: SpeciesProfile = {
  key: 'lentinula-edodes',
  latinName: 'Lentinula edodes',
  tradeNames: ['shiitake'],
  codeHint: 'SH',
  spawn: {
    ...usualSpawn,
    daysToRipe: customary(21, { range: [14, 28], note: 'on grain; fruiting substrate takes 35 to 70 days (GGMM)' }),
    incubationTemperatureC: range(24, 21, 27, 'GGMM', 'copy'),
    growthOptimumC: range(25, 20, 30, 'Zervakis-2001', 'read', '20 or 30 °C by strain'),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: published(0.741, 'ElSebaaly-2024', 'read', {
      note: 'eucalyptus, oak and bran, two harvests',
    }),
    spawnRunDays: range(60, 35, 75, 'GGMM', 'copy', '72 days on oak sawdust and bran (El Sebaaly 2024)'),
    pinningDays: range(6, 5, 7, 'GGMM', 'copy'),
    fruitingDays: range(6, 5, 8, 'GGMM', 'copy'),
    flushes: range(3, 2, 5, 'GGMM', 'copy'),
    daysBetweenFlushes: range(18, 14, 21, 'GGMM', 'copy'),
  },
};

export const lionsMane: SpeciesProfile = {
  key: 'hericium-erinaceus',
  latinName: 'Hericium erinaceus',
  tradeNames: ['lion’s mane', "lion's mane", 'lions mane', 'pom pom'],
  codeHint: 'LM',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(14, 10, 14, 'GGMM', 'copy', bulkNote),
    incubationTemperatureC: range(23, 21, 24, 'GGMM', 'memory'),
    growthOptimumC: published(26, 'Grigansky-1999', 'read', { note: 'none at 3 °C, none at 37 °C, 14 strains' }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: range(0.736, 0.26, 0.923, 'Ehlers-Schnitzler', 'read', 'beech and bran'),
    spawnRunDays: range(12, 10, 14, 'GGMM', 'copy'),
    pinningDays: range(4, 3, 5, 'GGMM', 'copy'),
    fruitingDays: range(5, 4, 5, 'GGMM', 'copy'),
    flushes: published(2, 'GGMM', 'copy'),
    daysBetweenFlushes: published(14, 'GGMM', 'copy'),
  },
};

export const enoki: SpeciesProfile = {
  key: 'flammulina-velutipes',
  latinName: 'Flammulina velutipes',
  tradeNames: ['enoki', 'enokitake', 'velvet foot'],
  codeHint: 'EN',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(16, 14, 18, 'GGMM', 'copy', bulkNote),
    incubationTemperatureC: range(22, 21, 24, 'GGMM', 'copy', 'p. 231'),
    growthOptimumC: customary(23, { range: [20, 25] }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: range(16, 14, 18, 'GGMM', 'copy', 'p. 231'),
    pinningDays: range(4, 3, 5, 'GGMM', 'copy'),
    fruitingDays: range(6, 5, 8, 'GGMM', 'copy'),
    flushes: range(2, 2, 3, 'GGMM', 'copy'),
    daysBetweenFlushes: range(11, 10, 12, 'GGMM', 'copy'),
  },
};

export const reishi: SpeciesProfile = {
  key: 'ganoderma-lucidum',
  latinName: 'Ganoderma lucidum',
  tradeNames: ['reishi', 'lingzhi'],
  codeHint: 'RE',
  spawn: {
    ...usualSpawn,
    daysToRipe: published(14, 'Soriano-2022', 'read', { range: [10, 20], note: 'on cracked maize' }),
    incubationTemperatureC: range(25, 21, 27, 'GGMM', 'memory'),
    growthOptimumC: customary(26, { range: [22, 30] }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: published(0.2029, 'Soriano-2022', 'read', { note: 'sawdust, rice straw and bran' }),
    spawnRunDays: range(18, 10, 20, 'GGMM', 'memory'),
    pinningDays: customary(21, { range: [14, 28] }),
    fruitingDays: customary(45, { range: [30, 60] }),
  },
};

export const nameko: SpeciesProfile = {
  key: 'pholiota-nameko',
  latinName: 'Pholiota nameko',
  tradeNames: ['nameko'],
  codeHint: 'NK',
  spawn: {
    ...usualSpawn,
    daysToRipe: published(14, 'GGMM', 'memory', { note: bulkNote }),
    incubationTemperatureC: range(25, 24, 29, 'GGMM', 'memory'),
    growthOptimumC: customary(25, { range: [22, 28] }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: published(14, 'GGMM', 'memory'),
    pinningDays: customary(10, { range: [7, 14] }),
    fruitingDays: customary(7, { range: [5, 10] }),
  },
};

export const blackPoplar: SpeciesProfile = {
  key: 'cyclocybe-aegerita',
  latinName: 'Cyclocybe aegerita',
  tradeNames: ['black poplar mushroom', 'pioppino', 'agrocybe aegerita'],
  codeHint: 'BP',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(21, 14, 28, 'GGMM', 'memory', bulkNote),
    incubationTemperatureC: range(24, 21, 27, 'GGMM', 'memory'),
    growthOptimumC: range(27, 25, 30, 'Zervakis-2001', 'read', '25 or 30 °C'),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: range(24, 20, 28, 'GGMM', 'memory'),
    pinningDays: customary(10, { range: [7, 14] }),
    fruitingDays: customary(6, { range: [4, 8] }),
  },
};

export const wineCap: SpeciesProfile = {
  key: 'stropharia-rugosoannulata',
  latinName: 'Stropharia rugosoannulata',
  tradeNames: ['wine cap', 'king stropharia'],
  codeHint: 'WC',
  spawn: {
    ...usualSpawn,
    daysToRipe: customary(21, { range: [14, 28] }),
    incubationTemperatureC: range(24, 21, 27, 'GGMM', 'copy'),
    growthOptimumC: customary(25, { range: [21, 27] }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: range(35, 25, 45, 'GGMM', 'memory'),
    pinningDays: range(18, 14, 21, 'GGMM', 'memory', 'after casing'),
    fruitingDays: range(10, 7, 14, 'GGMM', 'memory'),
    flushes: published(2, 'GGMM', 'memory'),
    daysBetweenFlushes: range(24, 21, 28, 'GGMM', 'memory'),
  },
};

export const button: SpeciesProfile = {
  key: 'agaricus-bisporus',
  latinName: 'Agaricus bisporus',
  tradeNames: ['button', 'button mushroom', 'champignon', 'portobello', 'cremini'],
  codeHint: 'BU',
  spawn: {
    ...usualSpawn,
    daysToRipe: range(18, 15, 22, 'Kalhout', 'read', '15 days on wheat at 24 °C; 20 to 22 in Indian practice'),
    incubationTemperatureC: published(24, 'Kalhout', 'read'),
    growthOptimumC: range(24, 21, 27, 'PSU-A', 'memory'),
    coldLifeDays: published(60, 'Kalhout', 'read', {
      note: 'fully viable for two months at 4 °C, then a gradual fall',
    }),
  },
  cropping: {
    ...usualCropping,
    spawnRate: published(0.006, 'PSU-A', 'memory', { note: '2 % of dry compost mass, at about 70 % moisture' }),
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: range(16, 14, 21, 'PSU-A', 'memory'),
    pinningDays: range(12, 10, 14, 'PSU-A', 'memory', 'after casing'),
    fruitingDays: customary(6, { range: [5, 8] }),
    flushes: published(3, 'PSU-A', 'memory'),
    daysBetweenFlushes: range(8, 7, 10, 'PSU-A', 'memory'),
  },
};

export const almond: SpeciesProfile = {
  key: 'agaricus-subrufescens',
  latinName: 'Agaricus subrufescens',
  tradeNames: ['almond mushroom', 'almond agaricus'],
  codeHint: 'AL',
  spawn: {
    ...usualSpawn,
    daysToRipe: customary(18, { range: [14, 24] }),
    incubationTemperatureC: customary(26, { range: [24, 28] }),
    growthOptimumC: customary(27, { range: [25, 30] }),
    mayBeChilled: false,
    coldLifeDays: null,
    coldStoreTemperatureC: published(12, 'CRBiologies-2014', 'read', {
      range: [10, 15],
      note: '15 or 30 days at 10 or 15 °C did no harm',
    }),
    coldHarmBelowC: published(10, 'CRBiologies-2014', 'read', { note: 'too sensitive for a colder store' }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: customary(18, { range: [14, 24] }),
    pinningDays: customary(14, { range: [10, 21] }),
    fruitingDays: customary(6, { range: [5, 8] }),
  },
};

export const paddyStraw: SpeciesProfile = {
  key: 'volvariella-volvacea',
  latinName: 'Volvariella volvacea',
  tradeNames: ['paddy straw mushroom', 'straw mushroom'],
  codeHint: 'PS',
  spawn: {
    ...usualSpawn,
    daysToRipe: customary(12, { range: [8, 16] }),
    incubationTemperatureC: customary(32, { range: [28, 35] }),
    growthOptimumC: published(35, 'Zervakis-2001', 'read'),
    mayBeChilled: false,
    coldLifeDays: null,
    coldStoreTemperatureC: customary(18, { range: [15, 20] }),
    coldHarmBelowC: published(15, 'Chang-Miles-2004', 'memory', { note: 'the mycelium dies at low temperature' }),
    lastGeneration: published(2, 'Shroff-Soni-2025', 'read', {
      note: 'generations 3 and 4 were slower and degenerate',
    }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: customary(0.15, { range: [0.1, 0.3] }),
    spawnRunDays: customary(7, { range: [5, 10] }),
    pinningDays: customary(3, { range: [2, 5] }),
    fruitingDays: customary(4, { range: [3, 5] }),
  },
};

/** Used for a species that is not in the catalogue: careful, middling values, every one of them customary. */
export const otherSpecies: SpeciesProfile = {
  key: 'other',
  latinName: 'another species',
  tradeNames: ['other'],
  codeHint: 'XX',
  spawn: {
    ...usualSpawn,
    daysToRipe: customary(18, { range: [10, 28] }),
    incubationTemperatureC: customary(24, { range: [20, 25], note: 'dark' }),
    growthOptimumC: customary(25, { range: [20, 30] }),
  },
  cropping: {
    ...usualCropping,
    biologicalEfficiency: usualEfficiency,
    spawnRunDays: customary(21, { range: [10, 60] }),
    pinningDays: customary(5, { range: [3, 14] }),
    fruitingDays: customary(6, { range: [3, 10] }),
  },
};

/** Every species with a profile of its own, in the order they are offered. */
export const speciesCatalogue: readonly SpeciesProfile[] = [
  oyster,
  phoenixOyster,
  goldenOyster,
  pinkOyster,
  kingOyster,
  shiitake,
  lionsMane,
  enoki,
  reishi,
  nameko,
  blackPoplar,
  wineCap,
  button,
  almond,
  paddyStraw,
];
