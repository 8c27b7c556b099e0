import { randomUUID } from 'node:crypto';
import type { NewRoom, NewShelf, Room, RoomPatch, Shelf, ShelfPatch } from '@jarfold/contracts';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { roomJson } from './farm.mapper.js';
import { merged, requireRevision, sameThingOrNull } from './revision.js';
import {
  countJarsStanding,
  findRoom,
  findShelf,
  insertRoom,
  insertShelf,
  listShelves,
  outermostPlaces,
  roomNameTaken,
  shelfNameTaken,
  updateRoom,
  updateShelf,
} from './rooms.repository.js';
import { lockFarm } from './settings.repository.js';

/** Rooms and the shelves in them. */
export class RoomsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  async addRoom(ctx: GrowerContext, wanted: NewRoom): Promise<Room> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const id = await addRoomIn(tx, ctx, wanted);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return this.roomIn(tx, ctx, id);
    });
  }

  async changeRoom(ctx: GrowerContext, id: string, revision: number, patch: RoomPatch): Promise<Room> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = requireRevision(await findRoom(tx, ctx.growerId, id), revision, 'room');
      const changed = { ...merged(stored, patch), revision: revision + 1 };
      await requireFreeRoomName(tx, ctx, changed);
      if (changed.archived && !stored.archived) await requireEmptyRoom(tx, ctx, changed);
      await updateRoom(tx, ctx.growerId, changed, this.archivedAt(changed));
      await enqueueReplan(tx, ctx, 'farm-changed');
      return this.roomIn(tx, ctx, id);
    });
  }

  async addShelf(ctx: GrowerContext, wanted: NewShelf): Promise<Shelf> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const id = await addShelfIn(tx, ctx, wanted);
      await enqueueReplan(tx, ctx, 'farm-changed');
      return shelfIn(tx, ctx, id);
    });
  }

  async changeShelf(ctx: GrowerContext, id: string, revision: number, patch: ShelfPatch): Promise<Shelf> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = requireRevision(await findShelf(tx, ctx.growerId, id), revision, 'shelf');
      const changed = { ...merged(stored, patch), revision: revision + 1 };
      await requireOpenRoom(tx, ctx, changed.roomId);
      await requireFreeShelfName(tx, ctx, changed);
      await requireJarsStillFit(tx, ctx, changed);
      if (changed.archived && !stored.archived) await requireEmptyShelf(tx, ctx, changed);
      await updateShelf(tx, ctx.growerId, changed, this.archivedAt(changed));
      await enqueueReplan(tx, ctx, 'farm-changed');
      return shelfIn(tx, ctx, id);
    });
  }

  private async roomIn(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<Room> {
    const room = await findRoom(tx, ctx.growerId, id);
    if (room === null) throw new AppError('not-found', 'There is no such room on this farm.');
    return roomJson(room, await listShelves(tx, ctx.growerId));
  }

  private archivedAt({ archived }: { readonly archived: boolean }): Date | null {
    return archived ? this.clock.now() : null;
  }
}

/** Adds a room within a transaction that holds the farm's lock; sent twice under one id, it is added once. */
export async function addRoomIn(tx: GrowerTx, ctx: GrowerContext, wanted: NewRoom): Promise<string> {
  const id = wanted.id ?? randomUUID();
  const room = { id, name: wanted.name, kind: wanted.kind, temperatureC: wanted.temperatureC ?? null };
  if (sameThingOrNull(await findRoom(tx, ctx.growerId, id), room, 'room')) return id;
  await requireFreeRoomName(tx, ctx, room);
  await insertRoom(tx, ctx.growerId, room);
  return id;
}

/** Adds a shelf within a transaction that holds the farm's lock; sent twice under one id, it is added once. */
export async function addShelfIn(tx: GrowerTx, ctx: GrowerContext, wanted: NewShelf): Promise<string> {
  const shelf = { ...wanted, id: wanted.id ?? randomUUID() };
  if (sameThingOrNull(await findShelf(tx, ctx.growerId, shelf.id), shelf, 'shelf')) return shelf.id;
  await requireOpenRoom(tx, ctx, shelf.roomId);
  await requireFreeShelfName(tx, ctx, { ...shelf, revision: 1, archived: false });
  await insertShelf(tx, ctx.growerId, shelf);
  return shelf.id;
}

async function shelfIn(tx: GrowerTx, ctx: GrowerContext, id: string): Promise<Shelf> {
  const shelf = await findShelf(tx, ctx.growerId, id);
  if (shelf === null) throw new AppError('not-found', 'There is no such shelf on this farm.');
  return shelf;
}

async function requireFreeRoomName(
  tx: GrowerTx,
  ctx: GrowerContext,
  { name, id }: { readonly name: string; readonly id: string },
): Promise<void> {
  if (!(await roomNameTaken(tx, ctx.growerId, name, id))) return;
  const errors = [{ in: 'body', pointer: '/name', detail: 'Another room has this name.' }] as const;
  throw new AppError('conflict', `Another room is already called "${name}": choose another name.`, { errors });
}

async function requireFreeShelfName(tx: GrowerTx, ctx: GrowerContext, shelf: Shelf): Promise<void> {
  if (!(await shelfNameTaken(tx, ctx.growerId, shelf))) return;
  const errors = [{ in: 'body', pointer: '/name', detail: 'Another shelf of this room has this name.' }] as const;
  throw new AppError('conflict', `Another shelf of this room is already called "${shelf.name}".`, { errors });
}

async function requireOpenRoom(tx: GrowerTx, ctx: GrowerContext, roomId: string): Promise<void> {
  const room = await findRoom(tx, ctx.growerId, roomId);
  if (room !== null && !room.archived) return;
  const errors = [{ in: 'body', pointer: '/roomId', detail: 'No room in use has this id.' }] as const;
  throw new AppError('rule-refused', 'The shelf names a room that is not on this farm or is archived.', { errors });
}

async function requireEmptyRoom(tx: GrowerTx, ctx: GrowerContext, room: { id: string; name: string }): Promise<void> {
  const jars = await countJarsStanding(tx, ctx.growerId, { roomId: room.id });
  if (jars === 0) return;
  throw new AppError('rule-refused', `${jars} jars still stand in "${room.name}": move them out before archiving it.`);
}

async function requireEmptyShelf(tx: GrowerTx, ctx: GrowerContext, shelf: Shelf): Promise<void> {
  const jars = await countJarsStanding(tx, ctx.growerId, { shelfId: shelf.id });
  if (jars === 0) return;
  throw new AppError('rule-refused', `${jars} jars still stand on "${shelf.name}": move them before archiving it.`);
}

async function requireJarsStillFit(tx: GrowerTx, ctx: GrowerContext, shelf: Shelf): Promise<void> {
  const outermost = await outermostPlaces(tx, ctx.growerId, shelf.id);
  if (outermost.row <= shelf.rows && outermost.place <= shelf.placesPerRow) return;
  throw new AppError(
    'rule-refused',
    `A jar stands in row ${outermost.row} or place ${outermost.place} of "${shelf.name}": move it before making the shelf smaller.`,
  );
}
