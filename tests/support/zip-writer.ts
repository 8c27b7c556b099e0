import { crc32, deflateRawSync } from 'node:zlib';

/** One entry of a zip file, with the lies a hostile file tells. */
export interface ZipEntry {
  readonly name: string;
  readonly data: Buffer | string;
  /** Uncompressed size the headers claim; the true one when left out. */
  readonly claimedSize?: number;
  readonly encrypted?: boolean;
}

/**
 * Writes zip files byte by byte, also broken and dishonest ones, which a library would not.
 * Source of the layout: PKWARE APPNOTE 6.3.
 */
export function writeZip(entries: readonly ZipEntry[]): Buffer {
  const locals: Buffer[] = [];
  const centrals: Buffer[] = [];
  let offset = 0;
  for (const entry of entries) {
    const name = Buffer.from(entry.name);
    const data = Buffer.from(entry.data);
    const packed = deflateRawSync(data);
    const shared = sharedFields(entry, data, packed, name);
    const local = Buffer.concat([Buffer.from('504b0304', 'hex'), shared, Buffer.alloc(0), name, packed]);
    const central = Buffer.concat([
      Buffer.from('504b01021400', 'hex'),
      shared,
      Buffer.alloc(10), // comment length, disk, internal and external attributes
      numbers([4, offset]),
      name,
    ]);
    locals.push(local);
    centrals.push(central);
    offset += local.length;
  }
  const directory = Buffer.concat(centrals);
  const end = numbers([4, 0x06054b50], [2, 0], [2, 0], [2, entries.length], [2, entries.length]);
  return Buffer.concat([...locals, directory, end, numbers([4, directory.length], [4, offset], [2, 0])]);
}

/** The fields that local and central headers share, from "version needed" to "extra length". */
function sharedFields({ claimedSize, encrypted }: ZipEntry, data: Buffer, packed: Buffer, name: Buffer): Buffer {
  return numbers(
    [2, 20],
    [2, encrypted ? 1 : 0],
    [2, 8],
    [4, 0],
    [4, crc32(data)],
    [4, packed.length],
    [4, claimedSize ?? data.length],
    [2, name.length],
    [2, 0],
  );
}

function numbers(...fields: readonly (readonly [bytes: 2 | 4, value: number])[]): Buffer {
  return Buffer.concat(
    fields.map(([bytes, value]) => {
      const buffer = Buffer.alloc(bytes);
      if (bytes === 2) buffer.writeUInt16LE(value);
      else buffer.writeUInt32LE(value >>> 0);
      return buffer;
    }),
  );
}

const TYPES = `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`;
const RELATIONSHIPS = 'http://schemas.openxmlformats.org/package/2006/relationships';
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';

export interface BareWorkbook {
  /** Inner XML of `<worksheet>`, by sheet name. */
  readonly sheets: Readonly<Record<string, string>>;
  /** Inner XML of `<sst>`. */
  readonly sharedStrings?: string;
  /** Inner XML of `<styleSheet>`. */
  readonly styles?: string;
  readonly date1904?: boolean;
}

/** The parts of a workbook as small as the format allows, to be broken one by one. */
export function workbookParts({ sheets, sharedStrings, styles, date1904 }: BareWorkbook): ZipEntry[] {
  const names = Object.keys(sheets);
  const related = names.map((_, at) => relationship(`rId${at + 1}`, 'worksheet', `worksheets/sheet${at + 1}.xml`));
  if (sharedStrings !== undefined) related.push(relationship('rIdS', 'sharedStrings', 'sharedStrings.xml'));
  if (styles !== undefined) related.push(relationship('rIdT', 'styles', 'styles.xml'));
  const listed = names.map((name, at) => `<sheet name="${name}" sheetId="${at + 1}" r:id="rId${at + 1}"/>`).join('');
  return [
    { name: '[Content_Types].xml', data: TYPES },
    { name: '_rels/.rels', data: relationships([relationship('rId1', 'officeDocument', 'xl/workbook.xml')]) },
    {
      name: 'xl/workbook.xml',
      data: `<workbook xmlns="${MAIN}" xmlns:r="${OFFICE}"><workbookPr date1904="${date1904 ? 1 : 0}"/><sheets>${listed}</sheets></workbook>`,
    },
    { name: 'xl/_rels/workbook.xml.rels', data: relationships(related) },
    ...(sharedStrings === undefined
      ? []
      : [{ name: 'xl/sharedStrings.xml', data: `<sst xmlns="${MAIN}">${sharedStrings}</sst>` }]),
    ...(styles === undefined
      ? []
      : [{ name: 'xl/styles.xml', data: `<styleSheet xmlns="${MAIN}">${styles}</styleSheet>` }]),
    ...names.map((name, at) => ({
      name: `xl/worksheets/sheet${at + 1}.xml`,
      data: `<worksheet xmlns="${MAIN}">${sheets[name]}</worksheet>`,
    })),
  ];
}

const relationship = (id: string, type: string, target: string) =>
  `<Relationship Id="${id}" Type="${OFFICE}/${type}" Target="${target}"/>`;
const relationships = (inner: readonly string[]) =>
  `<Relationships xmlns="${RELATIONSHIPS}">${inner.join('')}</Relationships>`;

/** A whole bare workbook as a file. */
export const writeBareWorkbook = (workbook: BareWorkbook): Buffer => writeZip(workbookParts(workbook));
