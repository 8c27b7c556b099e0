import { requireThat } from '../errors.js';
import { celsiusToKelvin, kelvinToCelsius } from '../units/index.js';

/** Coefficients of the saturation line, IAPWS R7-97(2012), table 34. */
const N = [
  0, 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.1202082470247e5, -0.32325550322333e7,
  0.1491510861353e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
] as const;

const KPA_PER_MPA = 1000;

/**
 * Pressure at which water boils at a temperature: the saturation line of IAPWS-IF97, region 4.
 * @param temperatureC 0 to 373.946 °C
 * @returns absolute pressure in kPa
 * @throws DomainError `steam-out-of-range`
 * @example saturationPressureKpa(121.1) // 205.685
 */
export function saturationPressureKpa(temperatureC: number): number {
  requireThat(
    temperatureC >= 0 && temperatureC <= 373.946,
    'steam-out-of-range',
    `Saturated steam exists from 0 to 373.9 °C, not at ${temperatureC} °C.`,
  );
  const kelvin = celsiusToKelvin(temperatureC);
  const theta = kelvin + N[9] / (kelvin - N[10]);
  const a = theta * theta + N[1] * theta + N[2];
  const b = N[3] * theta * theta + N[4] * theta + N[5];
  const c = N[6] * theta * theta + N[7] * theta + N[8];
  return ((2 * c) / (-b + Math.sqrt(b * b - 4 * a * c))) ** 4 * KPA_PER_MPA;
}

/**
 * Temperature at which water boils under a pressure: the same line, solved for temperature (IAPWS-IF97, backward equation).
 * @param pressureKpa absolute, 0.611213 to 22064 kPa
 * @throws DomainError `steam-out-of-range`
 * @example saturationTemperatureC(101.325) // 99.974
 */
export function saturationTemperatureC(pressureKpa: number): number {
  requireThat(
    pressureKpa >= 0.611212 && pressureKpa <= 22_064,
    'steam-out-of-range',
    `Saturated steam exists from 0.6112 to 22064 kPa, not at ${pressureKpa} kPa.`,
  );
  const beta = (pressureKpa / KPA_PER_MPA) ** 0.25;
  const e = beta * beta + N[3] * beta + N[6];
  const f = N[1] * beta * beta + N[4] * beta + N[7];
  const g = N[2] * beta * beta + N[5] * beta + N[8];
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  return kelvinToCelsius((N[10] + d - Math.sqrt((N[10] + d) ** 2 - 4 * (N[9] + N[10] * d))) / 2);
}
