import { crc32, deflateRawSync, inflateRawSync } from 'node:zlib';

/** A part of a package as it lies in the file: packed, with what its headers say. */
export interface RawPart {
  readonly name: string;
  readonly method: number;
  readonly flags: number;
  readonly crc: number;
  readonly packed: Buffer;
  readonly size: number;
  readonly time: number;
  readonly date: number;
}

/**
 * The parts of a zip file without unpacking them. For files that passed the reader's limits already: those are the ones
 * that protect from dishonest sizes.
 * Source of the layout: PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12 and 4.3.16.
 * @throws RangeError when the directory points outside the file
 */
export function rawParts(bytes: Buffer): RawPart[] {
  const end = bytes.lastIndexOf(Buffer.from('504b0506', 'hex'));
  if (end < 0) throw new RangeError('The zip file has no directory.');
  const count = bytes.readUInt16LE(end + 10);
  let at = bytes.readUInt32LE(end + 16);
  const parts: RawPart[] = [];
  for (let read = 0; read < count; read++) {
    const nameLength = bytes.readUInt16LE(at + 28);
    const name = bytes.toString('utf8', at + 46, at + 46 + nameLength);
    const packedSize = bytes.readUInt32LE(at + 20);
    const local = bytes.readUInt32LE(at + 42);
    const start = local + 30 + bytes.readUInt16LE(local + 26) + bytes.readUInt16LE(local + 28);
    parts.push({
      name,
      flags: bytes.readUInt16LE(at + 8),
      method: bytes.readUInt16LE(at + 10),
      time: bytes.readUInt16LE(at + 12),
      date: bytes.readUInt16LE(at + 14),
      crc: bytes.readUInt32LE(at + 16),
      size: bytes.readUInt32LE(at + 24),
      packed: bytes.subarray(start, start + packedSize),
    });
    at += 46 + nameLength + bytes.readUInt16LE(at + 30) + bytes.readUInt16LE(at + 32);
  }
  return parts;
}

export function unpacked({ method, packed, size, name }: RawPart): string {
  if (method === 0) return packed.toString('utf8');
  if (method !== 8) throw new RangeError(`The part ${name} is packed in a way no workbook is.`);
  return inflateRawSync(packed, { maxOutputLength: Math.max(size, 1) }).toString('utf8');
}

export function packedPart(name: string, text: string): RawPart {
  const data = Buffer.from(text);
  return {
    ...{ name, flags: 0x0800, method: 8, time: 0, date: 0x5021, crc: crc32(data), size: data.length },
    packed: deflateRawSync(data),
  };
}

/** Writes parts as they are: what was packed stays packed, byte by byte. */
export function writeRawZip(parts: readonly RawPart[]): Buffer {
  const chunks: Buffer[] = [];
  const directory: Buffer[] = [];
  let offset = 0;
  for (const part of parts) {
    const name = Buffer.from(part.name);
    // Sizes stand in the header now, so none follow the data.
    const shared = Buffer.alloc(26);
    shared.writeUInt16LE(20, 0);
    shared.writeUInt16LE(part.flags & ~0x0008, 2);
    shared.writeUInt16LE(part.method, 4);
    shared.writeUInt16LE(part.time, 6);
    shared.writeUInt16LE(part.date, 8);
    shared.writeUInt32LE(part.crc, 10);
    shared.writeUInt32LE(part.packed.length, 14);
    shared.writeUInt32LE(part.size, 18);
    shared.writeUInt16LE(name.length, 22);
    const local = Buffer.concat([Buffer.from('504b0304', 'hex'), shared, name, part.packed]);
    const place = Buffer.alloc(4);
    place.writeUInt32LE(offset);
    directory.push(Buffer.concat([Buffer.from('504b01021400', 'hex'), shared, Buffer.alloc(10), place, name]));
    chunks.push(local);
    offset += local.length;
  }
  const list = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(parts.length, 8);
  end.writeUInt16LE(parts.length, 10);
  end.writeUInt32LE(list.length, 12);
  end.writeUInt32LE(offset, 16);
  return Buffer.concat([...chunks, list, end]);
}
