import {
  celsiusToFahrenheit,
  gramsToKilograms,
  gramsToPounds,
  kilogramsToGrams,
  poundsToGrams,
} from '../units/index.js';

/** How a grower's files show quantities and days. Inside, everything stays grams, degrees Celsius and calendar days. */
export interface FileUnits {
  readonly massUnit: 'metric' | 'us';
  readonly temperatureUnit: 'celsius' | 'fahrenheit';
  /** ISO 8601: 1 is Monday, 7 is Sunday. */
  readonly weekStartsOn: number;
  readonly dayStyle: 'iso' | 'day-first' | 'month-first';
}

export const usualFileUnits: FileUnits = {
  massUnit: 'metric',
  temperatureUnit: 'celsius',
  weekStartsOn: 1,
  dayStyle: 'iso',
};

/** A number as a cell keeps it: twelve digits, so that a float's last digit is no difference. */
export const cellNumber = (value: number): number => Number(value.toPrecision(12));

/** Masses of substrate: kilograms or pounds. */
export const largeMassUnit = ({ massUnit }: FileUnits): 'kg' | 'lb' => (massUnit === 'us' ? 'lb' : 'kg');
export const largeMass = (massG: number, { massUnit }: FileUnits): number =>
  cellNumber(massUnit === 'us' ? gramsToPounds(massG) : gramsToKilograms(massG));
export const largeMassInG = (value: number, { massUnit }: FileUnits): number =>
  massUnit === 'us' ? poundsToGrams(value) : kilogramsToGrams(value);

/** Masses of spawn: grams or pounds. */
export const smallMassUnit = ({ massUnit }: FileUnits): 'g' | 'lb' => (massUnit === 'us' ? 'lb' : 'g');
export const smallMass = (massG: number, { massUnit }: FileUnits): number =>
  massUnit === 'us' ? Math.round(gramsToPounds(massG) * 1000) / 1000 : Math.round(massG);

/**
 * A mass in a sentence, in the unit it is weighed in.
 * @example writtenMass(11_439, usualFileUnits) // "11.44 kg"
 */
export function writtenMass(massG: number, units: FileUnits): string {
  const hundredths = (value: number) => Math.round(value * 100) / 100;
  if (units.massUnit === 'us') return `${hundredths(gramsToPounds(massG))} lb`;
  return massG < 1000 ? `${Math.round(massG)} g` : `${hundredths(gramsToKilograms(massG))} kg`;
}

export const shownTemperature = (temperatureC: number, { temperatureUnit }: FileUnits): number =>
  cellNumber(temperatureUnit === 'fahrenheit' ? celsiusToFahrenheit(temperatureC) : temperatureC);
export const temperatureUnitShown = ({ temperatureUnit }: FileUnits): '°C' | '°F' =>
  temperatureUnit === 'fahrenheit' ? '°F' : '°C';
