import type { ActionEntry, EntryOf } from './entry.js';
import { type Impossible, impossible } from './outcome.js';
import type { Jar } from './thing.js';
import type { BenchWorld } from './world.js';

/**
 * What an entry needs to know beyond itself, settled once when it is recorded and kept with it: codes that were free,
 * what a container of a size usually holds, the generation that follows from the mothers. A replay uses the kept facts,
 * so that a later change of a setting does not rewrite history. They stay true: a jar's strain and generation never
 * change while an entry stands on it.
 */
export interface EntryFacts {
  readonly code?: string;
  readonly generation?: number;
  /** Grams of ripe spawn a container of the size usually gives. */
  readonly usualMassG?: number;
}

export type FactsAnswer = { readonly facts: EntryFacts } | { readonly impossible: Impossible };

/** Settles the facts of an entry against the farm as it stands. */
export function settleFacts(world: BenchWorld, entry: ActionEntry): FactsAnswer {
  switch (entry.kind) {
    case 'grain_soaked':
    case 'grain_simmered':
    case 'grain_drained':
    case 'grain_rested':
    case 'grain_filled':
      return {
        facts: world.thing('grainBatch', entry.payload.grainBatchId)
          ? {}
          : { code: world.reference.nextCode('grainBatch', 'GR', entry.day) },
      };
    case 'cycle_started':
      return { facts: { code: world.reference.nextCode('cycle', 'ST', entry.day) } };
    case 'blanks_kept':
      return newLotFacts(world, entry, 'BL', {});
    case 'culture_made':
      return cultureFacts(world, entry);
    case 'received':
      return strainLotFacts(world, entry, entry.payload.generation);
    case 'inoculated':
      return inoculationFacts(world, entry);
    default:
      return { facts: {} };
  }
}

type LotEntry = EntryOf<'culture_made'> | EntryOf<'received'> | EntryOf<'inoculated'> | EntryOf<'blanks_kept'>;

function cultureFacts(world: BenchWorld, entry: EntryOf<'culture_made'>): FactsAnswer {
  const { fromJarId, strainId } = entry.payload;
  const source = fromJarId === undefined ? null : world.thing('jar', fromJarId);
  if (source && source.strainId !== strainId) return otherStrain(source, strainId);
  return strainLotFacts(world, entry, 0);
}

function inoculationFacts(world: BenchWorld, entry: EntryOf<'inoculated'>): FactsAnswer {
  const { mothers, strainId, jars } = entry.payload;
  let generation = 0;
  for (const { jarId } of mothers) {
    const mother = world.thing('jar', jarId);
    if (!mother) return impossible('unknown-jar', { kind: 'jar', id: jarId }, { id: jarId });
    if (mother.blank) return impossible('blank-holds-no-spawn', { kind: 'jar', id: jarId }, { code: mother.code });
    if (mother.strainId !== strainId) return otherStrain(mother, strainId);
    generation = Math.max(generation, (mother.generation ?? 0) + 1);
  }
  const stranger = jars.find(({ motherJarId }) => motherJarId && !mothers.some(({ jarId }) => jarId === motherJarId));
  if (stranger)
    return impossible('mother-not-in-entry', null, { jarId: stranger.id, motherJarId: stranger.motherJarId });
  return strainLotFacts(world, entry, generation);
}

function otherStrain(mother: Jar, strainId: string): { readonly impossible: Impossible } {
  const details = { code: mother.code, motherStrainId: mother.strainId, strainId };
  return impossible('mother-of-other-strain', { kind: 'jar', id: mother.id }, details);
}

function strainLotFacts(
  world: BenchWorld,
  entry: Exclude<LotEntry, { kind: 'blanks_kept' }>,
  generation: number,
): FactsAnswer {
  const { strainId } = entry.payload;
  const strain = world.reference.strain(strainId);
  if (!strain) return impossible('unknown-strain', null, { strainId });
  return newLotFacts(world, entry, strain.shortCode, { generation });
}

function newLotFacts(world: BenchWorld, entry: LotEntry, prefix: string, facts: EntryFacts): FactsAnswer {
  const { sizeId, code } = entry.payload;
  const size = world.reference.size(sizeId);
  if (!size) return impossible('unknown-size', null, { sizeId });
  const asked = code !== undefined && !world.reference.codeTaken('lot', code) ? code : undefined;
  return {
    facts: {
      ...facts,
      code: asked ?? world.reference.nextCode('lot', prefix, entry.day),
      usualMassG: size.ripeG,
    },
  };
}
