import { requireThat } from '../errors.js';
import { foodReference, lethalRate } from '../sterilising/lethality.js';
import { type HeatMethod, pressureHoldMin } from '../sterilising/methods.js';
import { boilingPointC, gaugePressureFor } from '../sterilising/standard-atmosphere.js';

/** How a load is to be held, at this altitude, in this vessel. */
export interface HoldGuidance {
  /** What the load is held at. */
  readonly temperatureC: number;
  /** Published or customary hold at the method's own temperature. */
  readonly baseHoldMin: number;
  /** The hold that is worth as much at `temperatureC`; whole minutes, rounded up. */
  readonly holdMin: number;
  /** What the gauge must read; null without pressure. */
  readonly gaugePressureKpa: number | null;
  readonly vessel:
    | 'no pressure'
    | 'within rating'
    /** The vessel reaches less than the method asks: the hold is longer instead. Never more pressure. */
    | 'above rating'
    /** Nobody said what the vessel is rated for: the pressure stands under that condition. */
    | 'rating unknown';
}

/** Steaming is stated at sea level. */
const SEA_LEVEL_C = boilingPointC(0);

/**
 * The hold for a load at an altitude. Under pressure the gauge makes up for thin air as far as the vessel is rated; what
 * is missing is made up by time, minute for minute of lethal rate (z = 10 °C). Steaming boils cooler higher up, so the
 * same heat takes longer.
 * @param largestJarMl largest container of the load
 * @param ratedGaugeKpa what the maker allows, or null when it is not known
 * @throws DomainError `jar-volume-out-of-range`, `altitude-out-of-range`, `pressure-out-of-range`
 */
export function holdGuidance({
  method,
  largestJarMl,
  altitudeM,
  ratedGaugeKpa,
}: {
  readonly method: HeatMethod;
  readonly largestJarMl: number;
  readonly altitudeM: number;
  readonly ratedGaugeKpa: number | null;
}): HoldGuidance {
  if (method.temperatureC === null) return steamed(method, altitudeM);
  const baseHoldMin = pressureHoldMin(largestJarMl).value;
  const wanted = gaugePressureFor(method.temperatureC, altitudeM, ratedGaugeKpa ?? Number.MAX_VALUE);
  if (wanted.kind === 'reachable') {
    const vessel = ratedGaugeKpa === null ? 'rating unknown' : 'within rating';
    const held = { temperatureC: method.temperatureC, gaugePressureKpa: wanted.gaugePressureKpa };
    return { ...held, baseHoldMin, holdMin: baseHoldMin, vessel };
  }
  const temperatureC = wanted.ratedTemperatureC;
  requireThat(ratedGaugeKpa !== null, 'pressure-out-of-range', 'A vessel without a rating has none to exceed.');
  return {
    ...{ temperatureC, baseHoldMin, gaugePressureKpa: ratedGaugeKpa, vessel: 'above rating' },
    holdMin: asLongAs(baseHoldMin, method.temperatureC, temperatureC),
  };
}

function steamed(method: HeatMethod, altitudeM: number): HoldGuidance {
  const temperatureC = boilingPointC(altitudeM);
  const baseHoldMin = method.holdMin.value;
  return {
    ...{ temperatureC, baseHoldMin, gaugePressureKpa: null, vessel: 'no pressure' },
    holdMin: Math.max(baseHoldMin, asLongAs(baseHoldMin, SEA_LEVEL_C, temperatureC)),
  };
}

/** Minutes at one temperature that are worth as much as some minutes at another. */
const asLongAs = (minutes: number, atC: number, insteadAtC: number): number =>
  Math.ceil((minutes * lethalRate(atC, foodReference)) / lethalRate(insteadAtC, foodReference) - 1e-9);
