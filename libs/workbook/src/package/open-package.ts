import type { Readable } from 'node:stream';
import yauzl from 'yauzl';
import { UnreadableWorkbook, unreadable } from '../problem.js';
import type { WorkbookLimits } from './limits.js';

/** The XML parts of a workbook file by name, without a leading slash. */
export type PackageParts = ReadonlyMap<string, Buffer>;

/** Parts that run something or reach outside the file. None of them is needed to read what a farm writes. */
const DANGEROUS: readonly (readonly [pattern: RegExp, what: string])[] = [
  [/vba(Project|Data)\w*\.(bin|xml)$/i, 'macros'],
  [/(^|\/)macrosheets\//i, 'macro sheets'],
  [/(^|\/)externalLinks\//i, 'links to other files'],
  [/(^|\/)embeddings\//i, 'embedded files'],
  [/(^|\/)activeX\//i, 'ActiveX controls'],
];

/**
 * Unpacks the XML parts of a zip package, counting bytes as they inflate: what the headers claim is never believed.
 * Other parts (pictures, fonts) are not unpacked.
 * @throws UnreadableWorkbook when a limit is passed, a part is dangerous, or the zip is damaged
 */
export async function openPackage(bytes: Buffer, limits: WorkbookLimits): Promise<PackageParts> {
  try {
    return await unpack(bytes, limits);
  } catch (error) {
    if (error instanceof UnreadableWorkbook) throw error;
    throw unreadable(
      'damaged',
      `The file is damaged: ${error instanceof Error ? error.message : String(error)}.`,
      'Open it in a spreadsheet program, let it repair the file, and save it again.',
    );
  }
}

async function unpack(bytes: Buffer, limits: WorkbookLimits): Promise<PackageParts> {
  const zip = await open(bytes);
  if (zip.entryCount > limits.entries)
    throw tooLarge(`holds ${zip.entryCount} parts, at most ${limits.entries} are read`);
  const parts = new Map<string, Buffer>();
  const budget = { left: limits.inflatedBytes };
  for await (const entry of entriesOf(zip)) {
    const name = entry.fileName.replace(/^\/+/, '');
    requireHarmless(name, entry);
    if (parts.has(name)) throw unreadable('damaged', `The file holds the part ${name} twice.`, 'Save it again.');
    if (/\.(xml|rels)$/i.test(name)) parts.set(name, await inflate(zip, entry, budget, limits));
  }
  return parts;
}

function open(bytes: Buffer): Promise<yauzl.ZipFile> {
  return new Promise((resolve, reject) => {
    yauzl.fromBuffer(bytes, { lazyEntries: true, validateEntrySizes: true, strictFileNames: true }, (error, zip) =>
      error ? reject(error) : resolve(zip),
    );
  });
}

async function* entriesOf(zip: yauzl.ZipFile): AsyncGenerator<yauzl.Entry> {
  for (let read = 0; read < zip.entryCount; read++) {
    yield await new Promise<yauzl.Entry>((resolve, reject) => {
      zip.once('entry', resolve);
      zip.once('error', reject);
      zip.once('end', () => reject(new Error('the list of parts ends early')));
      zip.readEntry();
    });
    zip.removeAllListeners();
  }
}

function requireHarmless(name: string, entry: yauzl.Entry): void {
  if (entry.isEncrypted()) {
    throw unreadable('protected', 'The file is locked with a password.', 'Remove the password and save it again.');
  }
  const found = DANGEROUS.find(([pattern]) => pattern.test(name));
  if (found) {
    throw unreadable(
      'dangerous-content',
      `The workbook holds ${found[1]} (${name}), which Jarfold does not open.`,
      'Save a copy with values only, as an Excel workbook (.xlsx) without macros.',
    );
  }
}

async function inflate(
  zip: yauzl.ZipFile,
  entry: yauzl.Entry,
  budget: { left: number },
  limits: WorkbookLimits,
): Promise<Buffer> {
  const stream = await new Promise<Readable>((resolve, reject) => {
    zip.openReadStream(entry, (error, opened) => (error ? reject(error) : resolve(opened)));
  });
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of stream as AsyncIterable<Buffer>) {
    size += chunk.length;
    budget.left -= chunk.length;
    if (budget.left < 0) throw tooLarge(`unpacks to more than ${limits.inflatedBytes / 1024 / 1024} MB`);
    if (size > limits.ratioFromBytes && size > limits.ratio * entry.compressedSize) {
      throw tooLarge(`unpacks to more than ${limits.ratio} times its packed size in ${entry.fileName}`);
    }
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

const tooLarge = (what: string) =>
  unreadable(
    'too-large',
    `The file ${what}.`,
    'Delete sheets, rows and formatting that are not used, and save it again.',
  );
