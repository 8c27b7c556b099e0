import { column, fallback, type SheetDefinition } from './column.js';
import { name, number, whole } from './value-kinds.js';

const places = number({ min: 0.05, max: 1_000 });

const columns = {
  size: column('size', name, 'The name of the size. Jars refer to it.', { example: 'litre jar' }),
  volumeMl: column(
    'volume ml',
    number({ min: 1, max: 200_000, unit: 'ml' }),
    'Volume of the empty jar, bag or plate.',
    {
      unit: 'ml',
      example: '1000',
    },
  ),
  ripeGrams: column(
    'ripe g',
    number({ min: 0.1, max: 200_000, unit: 'g' }),
    'Grams of ripe spawn in a full one. Weigh one.',
    {
      unit: 'g',
      fallback: fallback('from the volume', 'derived: rye to three quarters at 50 % moisture, 3 % breathed away'),
      example: '560',
    },
  ),
  inoculumFactor: column(
    'inoculum factor',
    number({ min: 0.01, max: 100 }),
    "Times the strain's inoculum g per jar that one of this size gets.",
    { fallback: fallback('1', 'our choice'), example: '1' },
  ),
  vesselPlaces: column('vessel places', places, 'Places one takes in the vessel.', {
    fallback: fallback('1', 'our choice'),
    example: '1',
  }),
  shelfPlaces: column('shelf places', places, 'Places one takes on a shelf.', {
    fallback: fallback('1', 'our choice'),
    example: '1',
  }),
  cleanEmpty: column(
    'clean empty',
    whole({ min: 0, max: 1_000_000 }),
    'Clean empty ones on hand. Blank: they do not limit the plan.',
    { fallback: fallback('no limit', 'our choice'), example: '60' },
  ),
  grainGrams: column(
    'grain g',
    number({ min: 0.1, max: 200_000, unit: 'g' }),
    'Grain as bought that goes into one, as weighed. Used for the grain list only.',
    { unit: 'g', fallback: fallback('from volume and grain', 'derived; see docs/sources.md'), example: '280' },
  ),
};

export const sizeSheet = {
  name: 'Sizes' as const,
  meaning: 'One row for each size of jar, bag or plate. The first row is the reference size.',
  key: 'size',
  mayBeEmpty: false,
  columns,
} satisfies SheetDefinition<typeof columns>;
