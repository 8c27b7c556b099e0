import { recipes as bench } from './bench.js';
import { recipes as identity } from './identity.js';
import type { Recipes } from './recipe.js';

/** One line per feature. */
export const allRecipes: Recipes = { ...bench, ...identity };

export type { BuiltRequest, Recipe, Recipes } from './recipe.js';
