/**
 * The only place where units are converted. Canonical units inside Jarfold: grams, millilitres, degrees Celsius,
 * kilopascals, metres, minutes, whole days, rates as fractions from 0 to 1. Every number that crosses an edge carries
 * its unit in its name (`massG`, `temperatureC`, `holdMin`).
 */

/** Exact: the avoirdupois pound, 1959 international agreement (NIST SP 811, appendix B). */
export const GRAMS_PER_POUND = 453.59237;
/** Exact: one inch is 25.4 mm (NIST SP 811, appendix B), so one foot is 0.3048 m. */
export const METRES_PER_FOOT = 0.3048;
/** The pound-force per square inch in kilopascals (NIST SP 811, appendix B: 6.894757 kPa, from exact lbf and inch). */
export const KPA_PER_PSI = (GRAMS_PER_POUND * 9.80665) / 25.4 ** 2;
/** Exact: the US gallon is 231 cubic inches (NIST SP 811, appendix B); the US quart is a quarter of it. */
export const ML_PER_US_GALLON = 3785.411784;

export const kilogramsToGrams = (massKg: number): number => massKg * 1000;
export const gramsToKilograms = (massG: number): number => massG / 1000;
export const poundsToGrams = (massLb: number): number => massLb * GRAMS_PER_POUND;
export const gramsToPounds = (massG: number): number => massG / GRAMS_PER_POUND;
export const litresToMillilitres = (volumeL: number): number => volumeL * 1000;
export const millilitresToLitres = (volumeMl: number): number => volumeMl / 1000;
export const usQuartsToMillilitres = (volumeQt: number): number => (volumeQt * ML_PER_US_GALLON) / 4;
export const fahrenheitToCelsius = (temperatureF: number): number => ((temperatureF - 32) * 5) / 9;
export const celsiusToFahrenheit = (temperatureC: number): number => (temperatureC * 9) / 5 + 32;
/** A difference of temperature has no offset: 18 °F of difference are 10 °C of difference. */
export const fahrenheitDifferenceToCelsius = (differenceF: number): number => (differenceF * 5) / 9;
export const celsiusToKelvin = (temperatureC: number): number => temperatureC + 273.15;
export const kelvinToCelsius = (temperatureK: number): number => temperatureK - 273.15;
export const psiToKilopascals = (pressurePsi: number): number => pressurePsi * KPA_PER_PSI;
export const kilopascalsToPsi = (pressureKpa: number): number => pressureKpa / KPA_PER_PSI;
export const feetToMetres = (lengthFt: number): number => lengthFt * METRES_PER_FOOT;
export const metresToFeet = (lengthM: number): number => lengthM / METRES_PER_FOOT;
export const percentToFraction = (percent: number): number => percent / 100;
export const fractionToPercent = (fraction: number): number => fraction * 100;
