import { requireThat } from '../errors.js';
import { requireMoisture } from './grain-water.js';

/** One part of a substrate mixture. */
export interface MixturePart {
  /** As it is, wet. */
  readonly massG: number;
  /** Water per total mass. */
  readonly moisture: number;
  /** Carbon and nitrogen as shares of dry matter, or null when not known. */
  readonly carbonShare: number | null;
  readonly nitrogenShare: number | null;
}

/**
 * Moisture of a mixture: all water per all mass. Cornell Waste Management Institute, compost mixture formula G.
 * @throws DomainError `mixture-empty`, `moisture-out-of-range`
 */
export function mixtureMoisture(parts: readonly MixturePart[]): number {
  const massG = parts.reduce((sum, part) => sum + requirePart(part).massG, 0);
  requireThat(massG > 0, 'mixture-empty', 'A mixture needs some mass.');
  return parts.reduce((sum, part) => sum + part.massG * part.moisture, 0) / massG;
}

/**
 * Grams of a second material (or water, moisture 1) that bring a first one to a goal moisture; the same formula solved
 * for the mass. Null when the goal does not lie between the two, so that no amount can reach it.
 * @example massToReachMoisture({ massG: 10000, moisture: 0.77, otherMoisture: 0.35, goalMoisture: 0.6 }) // 6800
 */
export function massToReachMoisture(wanted: {
  readonly massG: number;
  readonly moisture: number;
  readonly otherMoisture: number;
  readonly goalMoisture: number;
}): number | null {
  const { massG, moisture, otherMoisture, goalMoisture } = wanted;
  requireMoisture(moisture);
  requireThat(
    massG > 0 && goalMoisture > 0 && goalMoisture < 1 && otherMoisture >= 0 && otherMoisture <= 1,
    'mixture-out-of-range',
    `No mixture of ${massG} g with moistures ${moisture} and ${otherMoisture} toward ${goalMoisture}.`,
  );
  if (goalMoisture === moisture) return 0;
  const mass = (massG * (goalMoisture - moisture)) / (otherMoisture - goalMoisture);
  return Number.isFinite(mass) && mass > 0 ? mass : null;
}

/**
 * Carbon to nitrogen ratio of a mixture by mass, Cornell formula R; null when any part's carbon or nitrogen is unknown
 * or there is no nitrogen.
 */
export function carbonToNitrogen(parts: readonly MixturePart[]): number | null {
  let carbonG = 0;
  let nitrogenG = 0;
  for (const part of parts) {
    const { massG, moisture, carbonShare, nitrogenShare } = requirePart(part);
    if (carbonShare === null || nitrogenShare === null) return null;
    carbonG += massG * (1 - moisture) * carbonShare;
    nitrogenG += massG * (1 - moisture) * nitrogenShare;
  }
  return nitrogenG > 0 ? carbonG / nitrogenG : null;
}

function requirePart(part: MixturePart): MixturePart {
  requireMoisture(part.moisture);
  requireThat(
    part.massG >= 0 && Number.isFinite(part.massG),
    'mixture-out-of-range',
    `A part of a mixture weighs 0 g or more, not ${part.massG}.`,
  );
  return part;
}
