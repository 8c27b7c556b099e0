import type { RoomKind } from '@jarfold/domain';
import { column, fallback, type SheetDefinition } from './column.js';
import { choice, name, number } from './value-kinds.js';

const kinds: Readonly<Record<RoomKind, readonly string[]>> = {
  incubation: ['incubating', 'incubator', 'warm', 'incubation room'],
  cold: ['cold store', 'cold room', 'fridge', 'refrigerator', 'chilled'],
  fruiting: ['fruiting room', 'grow room'],
  prep: ['preparation', 'prep room', 'kitchen', 'lab'],
};

const columns = {
  room: column('room', name, 'The name of the room, shelf or fridge. Jars refer to it.', { example: 'Incubation 1' }),
  kind: column('kind', choice(kinds), 'What it is for. Jars grow in incubation and wait in the cold.', {
    example: 'incubation',
  }),
  places: column('places', number({ min: 0, max: 1_000_000 }), 'Shelf places in it.', { example: '180' }),
  temperatureC: column(
    'temperature C',
    number({ min: -30, max: 60, unit: 'C' }),
    'Usual temperature of the room, in degrees Celsius.',
    { unit: '°C', alsoCalled: ['temperature'], fallback: fallback('unknown', 'our choice'), example: '24' },
  ),
};

export const roomSheet = {
  name: 'Rooms' as const,
  meaning:
    'One row for each room or shelf. Without a cold room nothing can be chilled; without an incubation room incubation places do not limit the plan.',
  key: 'room',
  mayBeEmpty: true,
  columns,
} satisfies SheetDefinition<typeof columns>;
