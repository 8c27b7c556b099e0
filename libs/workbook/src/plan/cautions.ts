import type { Work } from './week-work.js';

/**
 * What can hurt someone in this work, once and short. Sources: USDA Complete Guide to Home Canning and K-State
 * Extension for the vessel; NIOSH Pocket Guide 0262 and 0359 for alcohol; mouldy jars: HSE and NIOSH general advice,
 * from memory.
 */
const PRESSURE =
  'Pressure vessel or pot: vent 10 minutes, never leave it alone or let it boil dry, open it only at zero pressure with the lid turned away (USDA). Let hot glass cool slowly.';
const FLAME = 'Alcohol catches fire at room temperature (NIOSH): let it dry before any flame, and spray none near one.';
const MOULD = 'Bag a mouldy jar unopened; do not taste or feed it.';
const FIRST = 'Local codes and licensed practice come first.';

export function cautionsFor(work: readonly Work[]): readonly string[] {
  const kinds = new Set(work.map(({ kind }) => kind));
  const cautions = [...(kinds.has('prepare') ? [PRESSURE] : []), ...(kinds.has('inoculate') ? [FLAME, MOULD] : [])];
  return cautions.length > 0 ? [...cautions, FIRST] : [];
}
