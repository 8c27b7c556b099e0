import { requireThat } from '../errors.js';
import {
  filledJar,
  findGrain,
  type GrainKind,
  type JarFilling,
  ripeMassG,
  usualFillShare,
  usualTargetMoisture,
} from '../grain/index.js';
import { findSpecies } from '../species/index.js';
import { fromPublished, ownWord, type SourcedValue } from './strain-values.js';

/** The grain a farm fills its containers with. */
export interface FarmGrain {
  /** Key of the grain; see `grainKinds`. */
  readonly grainKey: string;
  /** Water per total mass when the container is closed; null: the usual one. */
  readonly targetMoisture: number | null;
}

export interface ContainerValues {
  /** Grams of ripe spawn in a full one. */
  readonly ripeGrams: SourcedValue<number>;
  /** Grain as bought that goes into one, grams. */
  readonly dryGrainG: SourcedValue<number>;
}

/** The volume of the container that a strain's inoculum is stated for, millilitres: a one-litre jar. Our own choice. */
export const referenceVolumeMl = 1000;

/** How a strain's inoculum scales with a container's volume when the farm has not said otherwise: in proportion. */
export function usualInoculumFactor(volumeMl: number): number {
  return volumeMl / referenceVolumeMl;
}

/** Grams of ripe spawn in a container of the reference size filled with the farm's grain. */
export function referenceRipeGrams(grain: FarmGrain): number {
  return containerValues({ volumeMl: referenceVolumeMl, ripeGrams: null }, grain).ripeGrams.value;
}

/**
 * What a full container holds: as the farm weighed it, or worked out from its volume and the farm's grain.
 * @throws DomainError `unknown-grain`, and those of the filling (a grain wetter than the target)
 */
export function containerValues(
  size: { readonly volumeMl: number; readonly ripeGrams: number | null },
  grain: FarmGrain,
): ContainerValues {
  const filling = farmFilling(size.volumeMl, grain);
  const jar = filledJar(filling);
  const ripe = Math.round(ripeMassG(filling, jar.hydratedG * usualInoculumShare()));
  return {
    ripeGrams: size.ripeGrams === null ? derived(ripe) : ownWord(size.ripeGrams),
    dryGrainG: derived(Math.round(jar.grainG)),
  };
}

/** How a container of a volume is filled with the farm's grain. */
export function farmFilling(jarVolumeMl: number, grain: FarmGrain): JarFilling {
  const kind = knownGrain(grain.grainKey);
  return {
    jarVolumeMl,
    fillShare: usualFillShare.value,
    grain: { bulkDensityGPerMl: kind.bulkDensityGPerMl.value, moisture: kind.moisture.value },
    targetMoisture: grain.targetMoisture ?? usualTargetMoisture.value,
  };
}

/** @throws DomainError `unknown-grain` */
export function knownGrain(grainKey: string): GrainKind {
  const kind = findGrain(grainKey);
  requireThat(kind !== null, 'unknown-grain', `"${grainKey}" is no grain Jarfold knows.`, { value: grainKey });
  return kind;
}

/** Where the bulk density a grain's masses are worked out from comes from, in words. */
export function usualSourceOfGrain(grainKey: string): string | null {
  return fromPublished(knownGrain(grainKey).bulkDensityGPerMl).source;
}

function usualInoculumShare(): number {
  return findSpecies('').profile.spawn.inoculumShare.value;
}

function derived(value: number): SourcedValue<number> {
  const note = 'worked out from the volume, the grain and its moisture; weigh one and write its mass instead';
  return { value, origin: 'derived', source: null, confidence: null, note };
}
