import { requireThat } from '../errors.js';
import { customary } from '../species/published-value.js';
import { filledJar, type JarFilling } from './grain-batch.js';
import { grainKinds, usualFillShare, usualTargetMoisture } from './grain-kinds.js';

/** Mass a jar loses while it colonises, as gas: the mycelium burns dry matter. No publication for grain jars found. */
export const respirationLossShare = customary(0.03, { range: [0.01, 0.08] });

/** A level metric tablespoon. */
const TABLESPOON_ML = 15;

/** Rye to three quarters at half moisture: what a jar is filled with until the farm says otherwise. */
export function usualFilling(jarVolumeMl: number): JarFilling {
  const rye = grainKinds[0]!;
  return {
    jarVolumeMl,
    fillShare: usualFillShare.value,
    grain: { bulkDensityGPerMl: rye.bulkDensityGPerMl.value, moisture: rye.moisture.value },
    targetMoisture: usualTargetMoisture.value,
  };
}

/**
 * Grams of ripe spawn in a full jar: the hydrated grain and the inoculum, less what was breathed away. A derived
 * starting value, to be replaced by one weighing.
 * @param inoculumG grams put in, 0 or more
 * @param lossShare share of the mass lost while colonising, 0 up to below 1
 * @throws DomainError `ripe-mass-out-of-range`, and those of {@link filledJar}
 * @example ripeMassG(usualFilling(1000), 50, 0.03) // about 530
 */
export function ripeMassG(filling: JarFilling, inoculumG: number, lossShare = respirationLossShare.value): number {
  requireThat(
    inoculumG >= 0 && Number.isFinite(inoculumG) && lossShare >= 0 && lossShare < 1,
    'ripe-mass-out-of-range',
    `Inoculum is 0 g or more and the loss a share below 1, not ${inoculumG} g and ${lossShare}.`,
  );
  return (filledJar(filling).hydratedG + inoculumG) * (1 - lossShare);
}

/** Ripe grams of a jar known only by its volume: usual filling, a tenth of it as inoculum. Whole grams. */
export function usualRipeMassG(jarVolumeMl: number): number {
  const filling = usualFilling(jarVolumeMl);
  return Math.round(ripeMassG(filling, filledJar(filling).hydratedG * 0.1));
}

/** Grams in a level tablespoon of broken-up ripe spawn, which packs like the hydrated grain it was. */
export function spoonfulG(filling: JarFilling): number {
  return TABLESPOON_ML * filledJar(filling).hydratedDensityGPerMl;
}
