import { recipes as bench } from './bench.js';
import { recipes as calendarFeed } from './calendar-feed.js';
import { recipes as devices } from './devices.js';
import { recipes as farm } from './farm.js';
import { recipes as identity } from './identity.js';
import { recipes as oldSheets } from './old-sheets.js';
import { recipes as plan } from './plan.js';
import { recipes as preparation } from './preparation.js';
import { recipes as rates } from './rates.js';
import type { Recipes } from './recipe.js';
import { recipes as staff } from './staff.js';
import { recipes as sterilising } from './sterilising.js';
import { recipes as stock } from './stock.js';
import { recipes as traceability } from './traceability.js';
import { recipes as workbooks } from './workbooks.js';

/** One line per feature. */
export const allRecipes: Recipes = {
  ...farm,
  ...bench,
  ...identity,
  ...plan,
  ...preparation,
  ...rates,
  ...sterilising,
  ...stock,
  ...workbooks,
  ...oldSheets,
  ...calendarFeed,
  ...traceability,
  ...staff,
  ...devices,
};

export type { BuiltRequest, Recipe, Recipes } from './recipe.js';
