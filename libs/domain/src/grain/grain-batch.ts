import { requireThat } from '../errors.js';
import { kernelDensityGPerMl } from './grain-kinds.js';
import { requireMoisture, waterPerGramOfGrain } from './grain-water.js';
import { type MineralDose, type MineralRecipe, mineralDose } from './minerals.js';

/** What one jar is filled with. */
export interface JarFilling {
  readonly jarVolumeMl: number;
  /** Hydrated grain's volume per jar volume, above 0 up to 1. */
  readonly fillShare: number;
  readonly grain: {
    /** As bought, g per ml. */
    readonly bulkDensityGPerMl: number;
    /** As bought, water per total mass. */
    readonly moisture: number;
  };
  /** Water per total mass when the jar is closed. */
  readonly targetMoisture: number;
}

export interface FilledJar {
  /** Grain as bought. */
  readonly grainG: number;
  readonly dryMatterG: number;
  /** Water the grain takes up, not the water it is simmered in. */
  readonly waterTakenUpG: number;
  /** What the filled jar holds. */
  readonly hydratedG: number;
  readonly hydratedVolumeMl: number;
  readonly hydratedDensityGPerMl: number;
}

/**
 * What goes into one jar. Kernels swell by the volume of the water they take up and pack as loosely as before, so the
 * hydrated grain takes (1 + water × kernel density) times the room of the dry grain.
 * Derived, not published: weigh one filled jar and put its mass in instead. Checked against 150 to 200 g of wheat in a
 * half-litre bottle to three quarters (ICAR).
 * @throws DomainError `jar-filling-out-of-range`, `moisture-out-of-range`, `grain-wetter-than-target`
 * @example filledJar({ jarVolumeMl: 1000, fillShare: 0.75, grain: { bulkDensityGPerMl: 0.75, moisture: 0.12 }, targetMoisture: 0.5 }).grainG // 283
 */
export function filledJar({ jarVolumeMl, fillShare, grain, targetMoisture }: JarFilling): FilledJar {
  requireThat(
    jarVolumeMl > 0 && Number.isFinite(jarVolumeMl) && fillShare > 0 && fillShare <= 1 && grain.bulkDensityGPerMl > 0,
    'jar-filling-out-of-range',
    `A jar of ${jarVolumeMl} ml filled to ${fillShare} with grain of ${grain.bulkDensityGPerMl} g/ml cannot be.`,
  );
  requireMoisture(grain.moisture);
  const water = waterPerGramOfGrain(grain.moisture, targetMoisture);
  requireThat(
    water >= 0,
    'grain-wetter-than-target',
    `Grain at ${grain.moisture} moisture is wetter than the target ${targetMoisture}: dry it or raise the target.`,
  );
  const hydratedVolumeMl = jarVolumeMl * fillShare;
  const swelling = 1 + water * kernelDensityGPerMl.value;
  const grainG = (hydratedVolumeMl * grain.bulkDensityGPerMl) / swelling;
  const hydratedG = grainG * (1 + water);
  return {
    grainG,
    dryMatterG: grainG * (1 - grain.moisture),
    waterTakenUpG: grainG * water,
    hydratedG,
    hydratedVolumeMl,
    hydratedDensityGPerMl: hydratedG / hydratedVolumeMl,
  };
}

export interface GrainBatchWanted extends JarFilling {
  /** Whole jars, 0 or more. */
  readonly jars: number;
  /** Extra grain for spill and stuck kernels, as a share; 0.05 is one jar in twenty. */
  readonly spareShare: number;
  readonly minerals: MineralRecipe;
  /** Grams of grain in one jar as the farm weighed it; replaces the derived mass. Null: derive it. */
  readonly weighedGrainPerJarG: number | null;
}

export interface GrainBatch extends MineralDose {
  readonly jars: number;
  readonly perJar: FilledJar;
  /** Grain as bought, spare included. */
  readonly grainG: number;
  readonly waterTakenUpG: number;
  /** Water to simmer in, so that the kernels stay covered: 1.5 litres to the kilogram (ICAR: 10 kg in 15 litres). */
  readonly cookingWaterMl: number;
  readonly hydratedG: number;
}

/** Millilitres of water in the pot to a gram of grain: 10 kg of wheat in 15 litres (ICAR, seen as a copy). */
export const cookingWaterMlPerG = 1.5;

/**
 * Grain, water and minerals for a number of jars.
 * @throws DomainError `jar-count-not-whole`, and those of {@link filledJar}
 */
export function grainBatch(wanted: GrainBatchWanted): GrainBatch {
  const { jars, spareShare, minerals } = wanted;
  requireThat(Number.isInteger(jars) && jars >= 0, 'jar-count-not-whole', `A batch fills whole jars, not ${jars}.`);
  requireThat(
    spareShare >= 0 && spareShare <= 1,
    'jar-filling-out-of-range',
    `Spare grain is a share from 0 to 1, not ${spareShare}.`,
  );
  const perJar = weighed(filledJar(wanted), wanted.weighedGrainPerJarG);
  const factor = jars * (1 + spareShare);
  const grainG = perJar.grainG * factor;
  return {
    jars,
    perJar,
    grainG,
    waterTakenUpG: perJar.waterTakenUpG * factor,
    cookingWaterMl: grainG * cookingWaterMlPerG,
    hydratedG: perJar.hydratedG * factor,
    ...mineralDose(minerals, grainG),
  };
}

/** The derived jar scaled to what the farm weighed into one; proportions stay. */
function weighed(derived: FilledJar, grainG: number | null): FilledJar {
  if (grainG === null) return derived;
  requireThat(
    grainG > 0 && Number.isFinite(grainG),
    'jar-filling-out-of-range',
    `A weighed jar holds more than 0 g of grain, not ${grainG}.`,
  );
  const ratio = grainG / derived.grainG;
  return {
    ...derived,
    grainG,
    dryMatterG: derived.dryMatterG * ratio,
    waterTakenUpG: derived.waterTakenUpG * ratio,
    hydratedG: derived.hydratedG * ratio,
    hydratedVolumeMl: derived.hydratedVolumeMl * ratio,
  };
}
