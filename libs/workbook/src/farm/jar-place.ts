import { type Names, report } from '../sheets/names.js';
import type { ProblemList } from '../sheets/problem-list.js';
import type { JarRow } from './farm-jar.js';

/**
 * The room a jar stands in: the place itself, or what stands before a slash or comma in it. A place that only looks
 * like a room is a slip; one that looks like none is taken for a shelf mark, and said.
 * @returns the room's name, or null when the place is blank or no room
 */
export function roomOfPlace(row: JarRow, rooms: Names, found: ProblemList): string | null {
  const { place } = row.values;
  if (place === null) return null;
  const parts = [place, ...place.split(/[/,;:>]/)].map((part) => part.trim());
  const named = parts.find((part) => rooms.has(part));
  if (named !== undefined) return rooms.find(row, 'place', named, found);
  const near = rooms.near(place) ?? rooms.near(parts[1] ?? '');
  if (near !== null) {
    report(found, row, 'place', 'unknown-name', 'The sheet Rooms has no such room.', `Did you mean "${near}"?`);
  } else if (!rooms.isEmpty) {
    const message = `"${place}" is no room of the sheet Rooms; the jar counts in the room that suits its state.`;
    found.note(row.sheet, row.cell('place'), message);
  }
  return null;
}
