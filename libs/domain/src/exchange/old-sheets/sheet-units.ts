import {
  fahrenheitToCelsius,
  GRAMS_PER_POUND,
  kilogramsToGrams,
  litresToMillilitres,
  poundsToGrams,
  usQuartsToMillilitres,
} from '../../units/index.js';
import type { MassUnit, SheetUnit, TemperatureUnit } from './sheet-fields.js';

const UNIT_WORDS: readonly (readonly [SheetUnit, RegExp])[] = [
  ['kg', /^(kg|kgs|kilos?|kilograms?|kilogramm|kilogrammes?)$/],
  ['g', /^(g|gr|grm|grams?|gramm|grammes?|gramos?)$/],
  ['lb', /^(lb|lbs|pounds?|#)$/],
  ['oz', /^(oz|ozs|ounces?)$/],
  ['C', /^(°\s?c|c|degc|celsius|centigrade)$/],
  ['F', /^(°\s?f|f|degf|fahrenheit)$/],
];

/** The unit a word stands for, as it is written behind a number or in a heading; null for none. */
export function unitOfWord(word: string): SheetUnit | null {
  const plain = word.trim().toLowerCase().replace(/\.$/, '');
  return UNIT_WORDS.find(([, words]) => words.test(plain))?.[0] ?? null;
}

/** The unit a heading names: `Spawn (g)`, `weight kg`, `Temp °F`. Null when it names none or several. */
export function unitInHeading(heading: string): SheetUnit | null {
  const words = heading
    .toLowerCase()
    .split(/[\s()[\]/,;:_-]+/)
    .filter((word) => word !== '');
  const found = new Set(words.flatMap((word) => unitOfWord(word) ?? []));
  return found.size === 1 ? [...found][0]! : null;
}

const GRAMS: Readonly<Record<MassUnit, (mass: number) => number>> = {
  g: (massG) => massG,
  kg: kilogramsToGrams,
  lb: poundsToGrams,
  // Exact: sixteen avoirdupois ounces are a pound (NIST SP 811, appendix B).
  oz: (massOz) => (massOz * GRAMS_PER_POUND) / 16,
};

/** Grams of a mass in another unit, to the tenth of a gram a bench scale shows. */
export function gramsOf(mass: number, unit: MassUnit): number {
  return Math.round(GRAMS[unit](mass) * 10) / 10;
}

/** Degrees Celsius, to the tenth. */
export function celsiusOf(temperature: number, unit: TemperatureUnit): number {
  return Math.round((unit === 'F' ? fahrenheitToCelsius(temperature) : temperature) * 10) / 10;
}

const VOLUME = /(\d+(?:[.,]\d+)?)\s*(ml|millilit(?:er|re)s?|l|lit(?:er|re)s?|qt|quarts?|pt|pints?)\b/i;

/**
 * The volume a size's name says in so many words, in millilitres: `1 L jar`, `500 ml`, `2 qt` (US quarts). Null for a name
 * without a unit: `1000` may be anything.
 */
export function volumeInWords(words: string): number | null {
  const match = VOLUME.exec(words);
  if (match === null) return null;
  const amount = Number((match[1] ?? '').replace(',', '.'));
  const unit = (match[2] ?? '').toLowerCase();
  if (unit.startsWith('m')) return amount;
  if (unit.startsWith('q')) return Math.round(usQuartsToMillilitres(amount));
  if (unit.startsWith('p')) return Math.round(usQuartsToMillilitres(amount / 2));
  return litresToMillilitres(amount);
}
