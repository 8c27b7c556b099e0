import { column, fallback, type SheetDefinition } from './column.js';
import { name, number, percent, whole, yesNo } from './value-kinds.js';

const SPECIES = "the species' value; each with its source in docs/sources.md";
const bySpecies = fallback('by species', SPECIES);
const lifeDays = whole({ min: 0, max: 730 });

const columns = {
  strain: column('strain', name, 'The name of the culture. Jars and runs refer to it.', { example: 'Blue oyster' }),
  species: column('species', name, 'Latin or trade name. Blank values of the strain are taken from it.', {
    fallback: fallback('unknown', 'customary values that fit most species'),
    example: 'Pleurotus ostreatus',
  }),
  inoculumGrams: column(
    'inoculum g per jar',
    number({ min: 0.1, max: 100_000, unit: 'g' }),
    'Ripe spawn that goes into one new jar.',
    {
      unit: 'g',
      fallback: fallback("a tenth of the first size's ripe g", 'Stamets 1993, p. 138: about one part to ten'),
      example: '50',
    },
  ),
  daysToRipe: column('days to ripe', whole({ min: 1, max: 365 }), 'Days from inoculation until a jar is ripe.', {
    unit: 'days',
    fallback: bySpecies,
    example: '14',
  }),
  lossRate: column('loss %', percent({ min: 0, max: 95 }), 'Share of started jars lost before they are ripe.', {
    unit: '%',
    alsoCalled: ['losses %'],
    fallback: bySpecies,
    example: '8',
  }),
  warmLifeDays: column('warm life days', lifeDays, 'Days a ripe jar stays usable in the incubation room.', {
    unit: 'days',
    fallback: bySpecies,
    example: '14',
  }),
  coldLifeDays: column('cold life days', lifeDays, 'Days a ripe jar stays usable from the day it is chilled.', {
    unit: 'days',
    fallback: bySpecies,
    example: '56',
  }),
  mayBeChilled: column('may be chilled', yesNo, 'No for strains the cold harms.', {
    fallback: bySpecies,
    example: 'yes',
  }),
  lastGeneration: column(
    'last generation',
    whole({ min: 1, max: 12 }),
    'The highest generation to make. The culture is generation 0.',
    { fallback: bySpecies, example: '3' },
  ),
  motherReserve: column(
    'mother reserve',
    whole({ min: 0, max: 10_000 }),
    'Ripe jars to keep as mothers at all times once the farm has them.',
    { fallback: fallback('0', 'our choice; set at least 1, or a strain can be used up'), example: '2' },
  ),
  cultureLeadDays: column(
    'culture lead days',
    whole({ min: 0, max: 365 }),
    'Days from ordering or starting a new culture until it can inoculate. Blank: no new culture can be had.',
    { unit: 'days', fallback: fallback('no new culture', 'our choice'), example: '14' },
  ),
  containersPerCulture: column(
    'jars per culture',
    number({ min: 0.1, max: 10_000 }),
    'Jars that one unit of culture (a plate, a syringe, a bought bag) inoculates.',
    { fallback: fallback('10', 'common practice, no source'), example: '10' },
  ),
  costPerCulture: column('cost per culture', number({ min: 0, max: 1e6 }), 'Price of one unit of culture.', {
    fallback: fallback('25', 'our choice'),
    example: '20',
  }),
  cultureLifeDays: column(
    'culture life days',
    whole({ min: 1, max: 3_650 }),
    'Days a culture (generation 0) can inoculate after it was made.',
    { unit: 'days', fallback: fallback('180', 'common practice, no source'), example: '180' },
  ),
  culturesAvailable: column(
    'cultures available',
    whole({ min: 0, max: 100_000 }),
    'Units of new culture that can be had within the horizon.',
    { fallback: fallback('as many as wanted', 'our choice'), example: '4' },
  ),
};

export const strainSheet = {
  name: 'Strains' as const,
  meaning: 'One row for each culture the farm keeps.',
  key: 'strain',
  mayBeEmpty: false,
  columns,
} satisfies SheetDefinition<typeof columns>;
