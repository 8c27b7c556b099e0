import type { Work } from './week-work.js';

/**
 * What can hurt someone in this work, once and short. Sources: USDA Complete Guide to Home Canning and K-State
 * Extension for the vessel; NIOSH Pocket Guide 0262 and 0359 for alcohol; mouldy jars: HSE and NIOSH general advice,
 * from memory.
 */
const PRESSURE =
  'Vessel or pot: vent 10 minutes, never leave it alone or let it boil dry, open it only at zero pressure, lid turned away (USDA); hot glass cools slowly.';
const FLAME = 'Let alcohol dry before any flame (NIOSH).';
const MOULD = 'Bag a mouldy jar unopened.';
const FIRST = 'Local codes and licensed practice come first.';

export function cautionsFor(work: readonly Work[]): readonly string[] {
  const kinds = new Set(work.map(({ kind }) => kind));
  const cautions = [...(kinds.has('prepare') ? [PRESSURE] : []), ...(kinds.has('inoculate') ? [FLAME, MOULD] : [])];
  return cautions.length > 0 ? [...cautions, FIRST] : [];
}
