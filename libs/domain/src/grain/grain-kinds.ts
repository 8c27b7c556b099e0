import { customary, type Published, published } from '../species/published-value.js';

/** A grain as the farm buys it. */
export interface GrainKind {
  readonly key: string;
  readonly name: string;
  /** Mass of loosely filled grain per volume as bought. Handbooks differ by a fifth: a farm should weigh its own. */
  readonly bulkDensityGPerMl: Published;
  /** Water per total mass as bought (wet basis), 0 to 1. */
  readonly moisture: Published;
}

const kind = (key: string, name: string, bulkDensityGPerMl: Published, moisture: Published): GrainKind => ({
  key,
  name,
  bulkDensityGPerMl,
  moisture,
});

const ambient = published(0.12, 'GGMM', 'copy', { range: [0.08, 0.15], note: 'properly dried grain, p. 131' });

/** Grains used for spawn, with the published starting values. Rice is milled or brown, not in the husk. */
export const grainKinds: readonly GrainKind[] = [
  kind(
    'rye',
    'rye',
    published(0.75, 'TMC', 'copy', { range: [0.72, 0.89], note: 'USDA test weight 0.721, handbooks up to 0.89' }),
    published(0.13, 'TMC', 'copy', { range: [0.11, 0.15] }),
  ),
  kind(
    'wheat',
    'wheat',
    published(0.85, 'TMC', 'copy', { range: [0.772, 0.9], note: 'USDA test weight 0.772' }),
    published(0.1, 'TMC', 'copy', { range: [0.08, 0.13] }),
  ),
  kind('maize', 'maize', published(0.721, 'USDA-grain', 'read', { range: [0.68, 0.76] }), ambient),
  kind(
    'sorghum',
    'sorghum (milo)',
    published(0.721, 'USDA-grain', 'read', { range: [0.7, 0.93], note: '0.93 in The Mushroom Cultivator (memory)' }),
    published(0.15, 'TMC', 'memory'),
  ),
  kind(
    'millet',
    'millet',
    published(0.83, 'TMC', 'memory', { range: [0.644, 0.83], note: 'customary trade weight 0.644' }),
    published(0.13, 'TMC', 'memory'),
  ),
  kind('barley', 'barley', published(0.618, 'USDA-grain', 'read', { range: [0.6, 0.69] }), ambient),
  kind('oats', 'oats', published(0.412, 'USDA-grain', 'read', { range: [0.4, 0.52] }), ambient),
  kind(
    'brown-rice',
    'brown rice',
    published(0.86, 'TMC', 'copy', { range: [0.8, 1], note: 'long grain; short grain 1.00' }),
    published(0.15, 'TMC', 'copy', { range: [0.12, 0.26] }),
  ),
];

/** Mass per volume of the kernel itself, without the air between kernels. Used for how far a grain swells. */
export const kernelDensityGPerMl = customary(1.3, {
  range: [1.2, 1.42],
  note: 'cereal kernels; the volume of the water taken up is added to it',
});

/** Water per total mass of finished grain, 0 to 1. */
export const usualTargetMoisture = published(0.5, 'GGMM', 'copy', {
  range: [0.4, 0.6],
  note: 'about 50 %, p. 128; near 60 % in small jars, about 40 % in large containers, p. 131',
});

/** How full a jar is: the hydrated grain's volume per jar volume. */
export const usualFillShare = published(0.75, 'ICAR', 'copy', { range: [0.5, 0.75], note: 'to three quarters' });

/** The grain named by its key or name, or null. */
export const findGrain = (name: string): GrainKind | null => {
  const wanted = name.trim().toLowerCase();
  return grainKinds.find(({ key, name: full }) => key === wanted || full === wanted) ?? null;
};
