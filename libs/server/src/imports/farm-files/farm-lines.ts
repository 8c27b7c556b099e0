import { Readable } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { AppError } from '../../platform/index.js';

const GZIP = Buffer.from([0x1f, 0x8b]);
/** A year of a large farm unpacks to some 200 MB. */
const MOST_BYTES = 1024 * 1024 * 1024;
/** The largest row is a photograph, spelt out. */
const MOST_IN_A_LINE = 16 * 1024 * 1024;
const NEWLINE = 0x0a;

/**
 * The lines of a farm's file, plain or packed with gzip (RFC 1952), one at a time: what it unpacks to is counted as it
 * comes and never whole in memory.
 * @throws AppError `rule-refused` for a file that unpacks to too much, has an endless line, or is damaged
 */
export async function* farmFileLines(bytes: Buffer): AsyncGenerator<string> {
  let held: Buffer[] = [];
  let heldBytes = 0;
  let seen = 0;
  for await (const chunk of unpacked(bytes)) {
    seen += chunk.length;
    if (seen > MOST_BYTES) throw refused(`unpacks to more than ${MOST_BYTES / 1024 / 1024} MB`);
    let from = 0;
    for (let at = chunk.indexOf(NEWLINE); at >= 0; at = chunk.indexOf(NEWLINE, from)) {
      yield Buffer.concat([...held, chunk.subarray(from, at)]).toString();
      held = [];
      heldBytes = 0;
      from = at + 1;
    }
    const rest = chunk.subarray(from);
    heldBytes += rest.length;
    if (heldBytes > MOST_IN_A_LINE) throw refused('has a line that does not end');
    if (rest.length > 0) held.push(rest);
  }
  if (heldBytes > 0) yield Buffer.concat(held).toString();
}

async function* unpacked(bytes: Buffer): AsyncGenerator<Buffer> {
  if (!bytes.subarray(0, 2).equals(GZIP)) {
    yield bytes;
    return;
  }
  try {
    yield* Readable.from([bytes], { objectMode: false }).pipe(createGunzip()) as AsyncIterable<Buffer>;
  } catch (error) {
    if (error instanceof AppError) throw error;
    throw refused('is damaged and cannot be unpacked');
  }
}

const refused = (what: string) => new AppError('rule-refused', `The file ${what}. Nothing was brought in.`);
