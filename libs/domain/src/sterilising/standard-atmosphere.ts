import { requireThat } from '../errors.js';
import { saturationPressureKpa, saturationTemperatureC } from './saturated-steam.js';

/** U.S. Standard Atmosphere 1976, layer 0 to 11 km of geopotential height. */
const SEA_LEVEL_KPA = 101.325;
const SEA_LEVEL_K = 288.15;
const LAPSE_K_PER_M = 0.0065;
const EXPONENT = 5.255876;
const EARTH_RADIUS_M = 6_356_766;

/**
 * Air pressure at an altitude in the standard atmosphere. The weather moves the true pressure by some 3 %.
 * @param altitudeM −500 to 9000 m above sea level
 * @returns kPa
 * @throws DomainError `altitude-out-of-range`
 * @example atmosphericPressureKpa(1524) // 84.307: 5,000 ft
 */
export function atmosphericPressureKpa(altitudeM: number): number {
  requireThat(
    altitudeM >= -500 && altitudeM <= 9000,
    'altitude-out-of-range',
    `A farm lies between −500 and 9000 m above the sea, not at ${altitudeM} m.`,
    { value: altitudeM },
  );
  const geopotentialM = (EARTH_RADIUS_M * altitudeM) / (EARTH_RADIUS_M + altitudeM);
  return SEA_LEVEL_KPA * (1 - (LAPSE_K_PER_M * geopotentialM) / SEA_LEVEL_K) ** EXPONENT;
}

/**
 * Temperature at which water boils in an open pot.
 * @example boilingPointC(2000) // 93.3
 */
export const boilingPointC = (altitudeM: number): number => saturationTemperatureC(atmosphericPressureKpa(altitudeM));

/**
 * Temperature inside a vessel vented of air, from its gauge. Air left inside makes the true temperature lower: the
 * gauge cannot tell.
 * @param gaugePressureKpa what the gauge reads, above the air outside; 0 or more
 * @throws DomainError `pressure-out-of-range`, `altitude-out-of-range`
 * @example steamTemperatureC(psiToKilopascals(15), 0) // 120.955
 */
export function steamTemperatureC(gaugePressureKpa: number, altitudeM: number): number {
  requireThat(
    gaugePressureKpa >= 0 && Number.isFinite(gaugePressureKpa),
    'pressure-out-of-range',
    `A gauge reads 0 kPa or more, not ${gaugePressureKpa}.`,
  );
  return saturationTemperatureC(atmosphericPressureKpa(altitudeM) + gaugePressureKpa);
}

export type GaugePressure =
  | { readonly kind: 'reachable'; readonly gaugePressureKpa: number }
  | {
      /** The vessel may not be pressed so far: hold at its rated pressure and lengthen the time. */
      readonly kind: 'above rating';
      readonly gaugePressureKpa: number;
      readonly ratedTemperatureC: number;
    };

/**
 * What the gauge must read for a temperature, at an altitude, and whether the vessel is rated for it. Never a pressure
 * above the rating as advice: the answer is then the temperature the rated pressure gives.
 * @param ratedGaugeKpa the highest gauge pressure the maker allows
 * @throws DomainError `pressure-out-of-range`, `steam-out-of-range`, `altitude-out-of-range`
 */
export function gaugePressureFor(temperatureC: number, altitudeM: number, ratedGaugeKpa: number): GaugePressure {
  requireThat(
    ratedGaugeKpa >= 0 && Number.isFinite(ratedGaugeKpa),
    'pressure-out-of-range',
    `A vessel is rated for 0 kPa or more, not ${ratedGaugeKpa}.`,
  );
  const gaugePressureKpa = Math.max(0, saturationPressureKpa(temperatureC) - atmosphericPressureKpa(altitudeM));
  if (gaugePressureKpa <= ratedGaugeKpa) return { kind: 'reachable', gaugePressureKpa };
  return { kind: 'above rating', gaugePressureKpa, ratedTemperatureC: steamTemperatureC(ratedGaugeKpa, altitudeM) };
}
