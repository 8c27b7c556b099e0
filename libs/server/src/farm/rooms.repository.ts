import type { NewRoom, NewShelf, Room, Shelf } from '@jarfold/contracts';
import { type GrowerTx, numberFromColumn } from '../platform/index.js';

/** A room without its places, which are the sum of its shelves'. */
export type RoomRow = Omit<Room, 'places'>;

export async function listRooms(tx: GrowerTx, growerId: string): Promise<RoomRow[]> {
  const rows = await tx.room.findMany({ where: { growerId }, orderBy: [{ ordinal: 'asc' }, { name: 'asc' }] });
  return rows.map(roomFromRow);
}

export async function findRoom(tx: GrowerTx, growerId: string, id: string): Promise<RoomRow | null> {
  const row = await tx.room.findUnique({ where: { growerId_id: { growerId, id } } });
  return row === null ? null : roomFromRow(row);
}

export async function insertRoom(tx: GrowerTx, growerId: string, room: NewRoom & { id: string }): Promise<void> {
  const ordinal = await tx.room.count({ where: { growerId } });
  const { id, name, kind, temperatureC = null } = room;
  await tx.room.create({ data: { growerId, id, name, kind, temperatureC, ordinal } });
}

export async function updateRoom(
  tx: GrowerTx,
  growerId: string,
  room: RoomRow,
  archivedAt: Date | null,
): Promise<void> {
  const { id, name, kind, temperatureC, revision } = room;
  await tx.room.update({
    where: { growerId_id: { growerId, id } },
    data: { name, kind, temperatureC, revision, archivedAt },
  });
}

export async function roomNameTaken(tx: GrowerTx, growerId: string, name: string, exceptId: string): Promise<boolean> {
  return (await tx.room.count({ where: { growerId, name, NOT: { id: exceptId } } })) > 0;
}

export async function listShelves(tx: GrowerTx, growerId: string): Promise<Shelf[]> {
  const rows = await tx.shelf.findMany({ where: { growerId }, orderBy: [{ ordinal: 'asc' }, { name: 'asc' }] });
  return rows.map(shelfFromRow);
}

export async function findShelf(tx: GrowerTx, growerId: string, id: string): Promise<Shelf | null> {
  const row = await tx.shelf.findUnique({ where: { growerId_id: { growerId, id } } });
  return row === null ? null : shelfFromRow(row);
}

export async function insertShelf(tx: GrowerTx, growerId: string, shelf: NewShelf & { id: string }): Promise<void> {
  const ordinal = await tx.shelf.count({ where: { growerId, roomId: shelf.roomId } });
  const { id, roomId, name, rows, placesPerRow } = shelf;
  await tx.shelf.create({ data: { growerId, id, roomId, name, rows, placesPerRow, ordinal } });
}

export async function updateShelf(
  tx: GrowerTx,
  growerId: string,
  shelf: Shelf,
  archivedAt: Date | null,
): Promise<void> {
  const { id, roomId, name, rows, placesPerRow, revision } = shelf;
  const data = { roomId, name, rows, placesPerRow, revision, archivedAt };
  await tx.shelf.update({ where: { growerId_id: { growerId, id } }, data });
}

export async function shelfNameTaken(tx: GrowerTx, growerId: string, shelf: Shelf): Promise<boolean> {
  const { roomId, name, id } = shelf;
  return (await tx.shelf.count({ where: { growerId, roomId, name, NOT: { id } } })) > 0;
}

/** Jars that stand on the shelves of a room, or on one shelf. */
export async function countJarsStanding(
  tx: GrowerTx,
  growerId: string,
  where: { readonly roomId: string } | { readonly shelfId: string },
): Promise<number> {
  const shelf = 'roomId' in where ? { shelf: { roomId: where.roomId } } : { shelfId: where.shelfId };
  return tx.jar.count({ where: { growerId, state: { in: [...STANDING] }, ...shelf } });
}

/** The outermost places of a shelf that hold a jar; 0 and 0 when it is empty. */
export async function outermostPlaces(
  tx: GrowerTx,
  growerId: string,
  shelfId: string,
): Promise<{ readonly row: number; readonly place: number }> {
  const { _max: most } = await tx.jar.aggregate({
    where: { growerId, shelfId, state: { in: [...STANDING] } },
    _max: { shelfRow: true, shelfPlace: true },
  });
  return { row: most.shelfRow ?? 0, place: most.shelfPlace ?? 0 };
}

const STANDING = ['incubating', 'ripe', 'chilled', 'opened'] as const;

type RoomColumns = Awaited<ReturnType<GrowerTx['room']['findMany']>>[number];
type ShelfColumns = Awaited<ReturnType<GrowerTx['shelf']['findMany']>>[number];

function roomFromRow(row: RoomColumns): RoomRow {
  return {
    id: row.id,
    revision: row.revision,
    name: row.name,
    kind: row.kind as Room['kind'],
    temperatureC: row.temperatureC === null ? null : numberFromColumn(row.temperatureC),
    archived: row.archivedAt !== null,
  };
}

function shelfFromRow(row: ShelfColumns): Shelf {
  const { id, revision, roomId, name, rows, placesPerRow } = row;
  return { id, revision, roomId, name, rows, placesPerRow, archived: row.archivedAt !== null };
}
