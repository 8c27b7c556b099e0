import type { CultureSupply } from '../planning/situation.js';

/**
 * How new generation 0 comes to a farm that has not said: a plate or syringe is ordered two weeks ahead, and inoculates
 * ten jars. Starting values to be changed, common practice, no source; the price only has to be dearer than
 * multiplying one's own spawn.
 */
export const defaultCulture: CultureSupply = { leadDays: 14, containersPerUnit: 10, costPerUnit: 20 };
