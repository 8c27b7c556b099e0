import { column, fallback, type SheetDefinition } from './column.js';
import { choice, day, generation, name, number, percent, yesNo } from './value-kinds.js';

/** The last four are known so that a farm need not delete rows; such jars are left out of the plan and counted. */
const states = {
  incubating: ['colonising', 'colonizing', 'growing', 'running'],
  ripe: ['ready', 'colonised', 'colonized', 'fully colonised', 'fully colonized'],
  chilled: ['cold', 'in the cold', 'fridge', 'refrigerated'],
  opened: ['open', 'part used', 'partly used'],
  emptied: ['empty', 'used', 'used up', 'done'],
  discarded: ['thrown away', 'binned', 'broken'],
  contaminated: ['contam', 'green', 'bad'],
  'aged out': ['too old', 'expired'],
};

export type JarState = keyof typeof states;

const columns = {
  code: column('code', name, 'The code on the jar. No two jars share one.', { example: 'BL-26W45-1/03' }),
  strain: column('strain', name, 'A strain of the sheet Strains.', { example: 'Blue oyster' }),
  generation: column('generation', generation, 'The culture is 0, jars made from it 1, jars from those 2.', {
    example: '2',
  }),
  size: column('size', name, 'A size of the sheet Sizes.', { example: 'litre jar' }),
  state: column('state', choice(states), 'What the jar is now. The last four are left out of the plan.', {
    example: 'ripe',
  }),
  madeOn: column('made on', day, 'Day of inoculation; for a culture the day it was made or received.', {
    fallback: fallback('ripe on, less the days to ripe', 'derived; one of the two days must be given'),
    example: '2026-11-05',
  }),
  ripeOn: column('ripe on', day, 'Day it was seen ripe, or is expected to be.', {
    fallback: fallback('made on, plus the days to ripe', 'derived; at the latest the day of the plan for a ripe jar'),
    example: '2026-11-19',
  }),
  gramsLeft: column(
    'grams left',
    number({ min: 0, max: 200_000, unit: 'g' }),
    'Spawn left in it. Needed for an opened jar.',
    { unit: 'g', fallback: fallback("the size's ripe g", 'derived: the jar is full'), example: '560' },
  ),
  place: column('place', name, 'A room of the sheet Rooms, if you like with a shelf behind it: Cold store / B2.', {
    fallback: fallback("the first room that suits the jar's state", 'our choice'),
    example: 'Cold store',
  }),
  chilledOn: column('chilled on', day, 'Day it was put into the cold.', {
    fallback: fallback('ripe on', 'the careful reading: it has been cold the longest'),
    example: '2026-11-20',
  }),
  openedOn: column('opened on', day, 'Day it was first opened.', {
    fallback: fallback('the day of the plan', 'our choice; reported when it is used'),
    example: '2026-11-24',
  }),
  keptAsMother: column('kept as mother', yesNo, 'Yes: it inoculates new jars and never goes to a run.', {
    fallback: fallback('no', 'our choice'),
    example: 'no',
  }),
  survival: column(
    'chance to ripen %',
    percent({ min: 0, max: 100 }),
    'For an incubating jar: how likely it still ends usable, by its age and looks.',
    { unit: '%', fallback: fallback("from the strain's loss %", 'derived'), example: '95' },
  ),
};

export const jarSheet = {
  name: 'Jars' as const,
  meaning: 'One row for each jar (or bag, plate, syringe) on hand.',
  key: 'code',
  mayBeEmpty: true,
  columns,
} satisfies SheetDefinition<typeof columns>;
