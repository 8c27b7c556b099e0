import { type Published, published } from '../species/published-value.js';

/** Shares of the grain's mass as bought. Gypsum keeps kernels apart, chalk holds the pH. */
export interface MineralRecipe {
  readonly key: string;
  readonly name: string;
  readonly gypsumShare: Published | null;
  readonly chalkShare: Published | null;
}

export const mineralRecipes: readonly MineralRecipe[] = [
  {
    key: 'gypsum-half-percent',
    name: 'gypsum 0.5 %',
    gypsumShare: published(0.005, 'GGMM', 'copy', { range: [0.0036, 0.005], note: '1 g to 200 g of rye, p. 130' }),
    chalkShare: null,
  },
  {
    key: 'gypsum-and-chalk',
    name: 'gypsum 1.2 %, chalk 0.3 %',
    gypsumShare: published(0.012, 'ICAR', 'copy', { range: [0.012, 0.02], note: '120 g to 10 kg' }),
    chalkShare: published(0.003, 'ICAR', 'copy', { range: [0.003, 0.005], note: '30 g to 10 kg' }),
  },
  {
    key: 'chalk',
    name: 'chalk 2 %',
    gypsumShare: null,
    chalkShare: published(0.02, 'VIK', 'read'),
  },
  { key: 'none', name: 'no minerals', gypsumShare: null, chalkShare: null },
];

export interface MineralDose {
  readonly gypsumG: number;
  readonly chalkG: number;
}

/** Gypsum and chalk for a mass of grain as bought. `mineralDose('gypsum-and-chalk' recipe, 10000)`: 120 g and 30 g. */
export function mineralDose(recipe: MineralRecipe, grainG: number): MineralDose {
  return {
    gypsumG: grainG * (recipe.gypsumShare?.value ?? 0),
    chalkG: grainG * (recipe.chalkShare?.value ?? 0),
  };
}
