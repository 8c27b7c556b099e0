/** Words of the rooms and their shelves. */
export const rooms = {
  'screen.rooms': 'Rooms and shelves',

  'command.addRoom': 'Add a room',
  'command.addShelf': 'Add a shelf',

  'field.placesPerRow': 'Places per row',
  'field.roomKind': 'Kind of room',
  'field.rows': 'Rows',

  'roomKind.cold': 'Cold store',
  'roomKind.fruiting': 'Fruiting room',
  'roomKind.incubation': 'Incubation room',
  'roomKind.prep': 'Prep room',

  'rooms.addShelfIn': 'Add a shelf in {name}',
  'rooms.editNamed': 'Edit {name}',
  'rooms.filling': '{jars} of {places} places',
  'rooms.loose': 'In the room, on no shelf',
  'rooms.noPlace': 'no place noted',
  'rooms.noShelves': 'No shelf yet. Jars can stand in the room without one.',
  'rooms.none': 'No room yet',
  'rooms.nowhere': 'On hand, in no room',
  'rooms.row': 'Row {row}{free, plural, =0 {} other { · # free}}',
  'rooms.rowPlace': 'row {row}, place {place}',
  'rooms.tape': '{strain} G{generation}',
  'rooms.white': '{share} white',
} as const;
