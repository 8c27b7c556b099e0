import { pipeline, Readable } from 'node:stream';
import { crc32, createDeflateRaw } from 'node:zlib';

/** A part of a package: its name, and its text piece by piece, so that a large sheet is never whole in memory. */
export interface PackagePart {
  readonly name: string;
  readonly text: () => Iterable<string>;
}

/** Characters gathered before they are packed. */
const PIECE = 1 << 16;
/** A little larger than the best packing, in a third of the time. */
const LEVEL = 4;
/** Bit 3: sizes stand behind the data, since they are not known before; bit 11: names are UTF-8. */
const FLAGS = 0x0808;
/** 1 January 2020, 00:00: a workbook's moment stands in its properties, and equal content makes equal bytes. */
const DOS_DAY = (40 << 9) | (1 << 5) | 1;

interface Written {
  readonly name: Buffer;
  readonly offset: number;
  readonly crc: number;
  readonly packed: number;
  readonly size: number;
}

/**
 * Packs parts into a zip file as they come.
 * Source of the layout: PKWARE APPNOTE 6.3, sections 4.3.7 to 4.3.16; no zip64, so at most 4 GB.
 */
export async function* zipStream(parts: Iterable<PackagePart>): AsyncGenerator<Buffer> {
  const written: Written[] = [];
  let offset = 0;
  for (const { name, text } of parts) {
    const start = offset;
    const nameBytes = Buffer.from(name);
    const head = localHeader(nameBytes);
    yield head;
    offset += head.length;
    const tally = { crc: 0, size: 0 };
    let packed = 0;
    for await (const chunk of deflated(text(), tally)) {
      packed += chunk.length;
      yield chunk;
    }
    const descriptor = numbers([4, 0x08074b50], [4, tally.crc], [4, packed], [4, tally.size]);
    yield descriptor;
    offset += packed + descriptor.length;
    written.push({ name: nameBytes, offset: start, packed, ...tally });
  }
  const directory = Buffer.concat(written.map(centralHeader));
  yield directory;
  const count = written.length;
  yield numbers(
    ...([
      [4, 0x06054b50],
      [2, 0],
      [2, 0],
      [2, count],
      [2, count],
    ] as const),
    ...([
      [4, directory.length],
      [4, offset],
      [2, 0],
    ] as const),
  );
}

function deflated(text: Iterable<string>, tally: { crc: number; size: number }): AsyncIterable<Buffer> {
  const deflate = createDeflateRaw({ level: LEVEL, memLevel: 9, chunkSize: PIECE });
  const source = Readable.from(counted(text, tally), { objectMode: false, highWaterMark: PIECE });
  // An error on either side ends the other; whoever reads the packed side gets it.
  pipeline(source, deflate, () => undefined);
  return deflate;
}

function* counted(text: Iterable<string>, tally: { crc: number; size: number }): Generator<Buffer> {
  let gathered = '';
  const flush = () => {
    const bytes = Buffer.from(gathered);
    gathered = '';
    tally.crc = crc32(bytes, tally.crc);
    tally.size += bytes.length;
    return bytes;
  };
  for (const piece of text) {
    gathered += piece;
    if (gathered.length >= PIECE) yield flush();
  }
  yield flush();
}

function localHeader(name: Buffer): Buffer {
  const fields = numbers([4, 0x04034b50], [2, 20], [2, FLAGS], [2, 8], [2, 0], [2, DOS_DAY], [4, 0], [4, 0], [4, 0]);
  return Buffer.concat([fields, numbers([2, name.length], [2, 0]), name]);
}

function centralHeader({ name, offset, crc, packed, size }: Written): Buffer {
  const fields = numbers([4, 0x02014b50], [2, 20], [2, 20], [2, FLAGS], [2, 8], [2, 0], [2, DOS_DAY]);
  const sizes = numbers([4, crc], [4, packed], [4, size], [2, name.length], [2, 0], [2, 0], [2, 0], [2, 0]);
  return Buffer.concat([fields, sizes, numbers([4, 0], [4, offset]), name]);
}

function numbers(...fields: readonly (readonly [bytes: 2 | 4, value: number])[]): Buffer {
  const buffer = Buffer.alloc(fields.reduce((sum, [bytes]) => sum + bytes, 0));
  let at = 0;
  for (const [bytes, value] of fields)
    at = bytes === 2 ? buffer.writeUInt16LE(value, at) : buffer.writeUInt32LE(value >>> 0, at);
  return buffer;
}
