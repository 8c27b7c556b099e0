import { createHash } from 'node:crypto';
import {
  MAX_PHOTO_BYTES,
  MAX_PHOTO_PIXELS,
  type NewPhoto,
  type Photo,
  type PhotoList,
  type PhotoQuery,
} from '@jarfold/contracts';
import { entriesById } from '../bench/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { jpegSize } from './jpeg-size.js';

const SHOWN = { id: true, entryId: true, staffId: true, sha256: true, widthPx: true, heightPx: true, recordedAt: true };
const AT_MOST = 200;

/** Pictures taken at the bench. They belong to an entry, are never changed, and are sent again without harm. */
export class PhotosService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /**
   * Keeps a picture under the id the tablet gave it; the same one again is answered as before.
   * @throws AppError `invalid-input` (no JPEG, too large), `not-found` (its entry is not stored), `photo-differs`
   */
  async keep(
    ctx: GrowerContext & { readonly staffId: string },
    id: string,
    { entryId, jpegBase64 }: NewPhoto,
  ): Promise<Photo> {
    const content = new Uint8Array(Buffer.from(jpegBase64, 'base64'));
    const size = goodSize(content);
    const sha256 = createHash('sha256').update(content).digest('hex');
    return this.growerDb.run(ctx, async (tx) => {
      if ((await entriesById(tx, ctx.growerId, [entryId])).length === 0) throw unknownEntry();
      const photo = { id, entryId, staffId: ctx.staffId, sha256, ...size, content, recordedAt: this.clock.now() };
      // One statement: the same picture sent twice at once makes one row, and both are answered with it.
      await tx.benchPhoto.createMany({ data: [{ growerId: ctx.growerId, ...photo }], skipDuplicates: true });
      const kept = await stored(tx, ctx.growerId, id);
      if (kept?.sha256 !== sha256 || kept.entryId !== entryId) throw new AppError('photo-differs');
      return photoJson(kept, content.length);
    });
  }

  /** @throws AppError `not-found` */
  async content(ctx: GrowerContext, id: string): Promise<Uint8Array> {
    const row = await this.growerDb.read(ctx, (tx) =>
      tx.benchPhoto.findUnique({ where: { growerId_id: { growerId: ctx.growerId, id } }, select: { content: true } }),
    );
    if (!row) throw new AppError('not-found', 'There is no photo with this id on the farm.');
    return row.content;
  }

  /** Of an entry, of a jar, or the newest of the farm; at most 200, the newest first. */
  async list(ctx: GrowerContext, { entryId, jarId }: PhotoQuery): Promise<PhotoList> {
    return this.growerDb.read(ctx, async (tx) => {
      const { growerId } = ctx;
      const ofEntry = entryId === undefined ? {} : { entryId };
      const ofJar = jarId === undefined ? {} : { entry: { things: { some: { thingId: jarId } } } };
      const rows = await tx.benchPhoto.findMany({
        where: { growerId, ...ofEntry, ...ofJar },
        select: SHOWN,
        orderBy: [{ recordedAt: 'desc' }, { id: 'asc' }],
        take: AT_MOST,
      });
      const bytes = await byteCounts(
        tx,
        growerId,
        rows.map(({ id }) => id),
      );
      return { items: rows.map((row) => photoJson(row, bytes.get(row.id) ?? 0)) };
    });
  }
}

type PhotoRow = NonNullable<Awaited<ReturnType<typeof stored>>>;

function stored(tx: GrowerTx, growerId: string, id: string) {
  return tx.benchPhoto.findUnique({ where: { growerId_id: { growerId, id } }, select: SHOWN });
}

/** Counted in the database: a list must not read the pictures. */
async function byteCounts(
  tx: GrowerTx,
  growerId: string,
  ids: readonly string[],
): Promise<ReadonlyMap<string, number>> {
  if (ids.length === 0) return new Map();
  const rows = await tx.$queryRaw<{ id: string; bytes: number }[]>`
    SELECT id::text, length(content) AS bytes FROM bench_photo
    WHERE grower_id = ${growerId}::uuid AND id = ANY(${[...ids]}::uuid[])`;
  return new Map(rows.map(({ id, bytes }) => [id, bytes]));
}

function photoJson({ id, entryId, staffId, widthPx, heightPx, recordedAt }: PhotoRow, bytes: number): Photo {
  return { photoId: id, entryId, staffId, bytes, widthPx, heightPx, recordedAt: recordedAt.toISOString() };
}

function goodSize(content: Uint8Array): { readonly widthPx: number; readonly heightPx: number } {
  if (content.length > MAX_PHOTO_BYTES) throw unfit(`larger than ${MAX_PHOTO_BYTES} bytes`);
  const size = jpegSize(content);
  if (!size) throw unfit('no whole JPEG');
  if (Math.max(size.widthPx, size.heightPx) > MAX_PHOTO_PIXELS)
    throw unfit(`larger than ${MAX_PHOTO_PIXELS} pixels a side`);
  return size;
}

function unfit(why: string): AppError {
  return new AppError('invalid-input', `The picture is ${why}; nothing was kept.`, {
    errors: [{ in: 'body', pointer: '/jpegBase64', detail: `The picture is ${why}.` }],
  });
}

function unknownEntry(): AppError {
  return new AppError('not-found', 'The entry this picture belongs to is not stored yet: send the entry first.');
}
