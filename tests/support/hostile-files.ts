import { type BareWorkbook, workbookParts, writeBareWorkbook, writeZip, type ZipEntry } from './zip-writer.js';

/** A file somebody might send by mistake or in malice, and what it is told to be. */
export interface HostileFile {
  readonly what: string;
  readonly bytes: Buffer;
  readonly code: string;
}

const MB = 1024 * 1024;
const sound: BareWorkbook = { sheets: { One: '<sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData>' } };
const sheet = (inner: string): Buffer => writeBareWorkbook({ sheets: { One: inner } });
const cell = (inner: string): Buffer => sheet(`<sheetData><row r="1">${inner}</row></sheetData>`);
const added = (name: string, data: string | Buffer): Buffer => writeZip([...workbookParts(sound), { name, data }]);
const changed = (name: string, change: (part: ZipEntry) => Partial<ZipEntry>): Buffer =>
  writeZip(workbookParts(sound).map((part) => (part.name === name ? { ...part, ...change(part) } : part)));
const before = (name: string, text: string): Buffer => changed(name, ({ data }) => ({ data: `${text}${data}` }));
const file = (what: string, code: string, bytes: Buffer): HostileFile => ({ what, code, bytes });

const COMPOUND = Buffer.concat([Buffer.from('d0cf11e0a1b11ae1', 'hex'), Buffer.alloc(512)]);
const WORKBOOK = 'xl/workbook.xml';
const SHEET = 'xl/worksheets/sheet1.xml';

/** Ten times ten times …: 10^9 letters from a few lines, if anybody expanded them. */
const LAUGHS = `<!DOCTYPE l [<!ENTITY a "ha">${Array.from('bcdefghij')
  .map((name, i) => `<!ENTITY ${name} "${`&${'abcdefghi'[i]};`.repeat(10)}">`)
  .join('')}]>`;

/** Broken, dishonest and hostile files, made here byte by byte. */
export function hostileFiles(): readonly HostileFile[] {
  return [
    file('bytes of a picture', 'not-a-workbook', Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex')),
    file('a web page', 'not-a-workbook', Buffer.from('<!doctype html><script>alert(1)</script>')),
    file('a list of separated values', 'not-a-workbook', Buffer.from('code;strain\n=cmd|"/c calc"!A1;x\n')),
    file('a PDF', 'not-a-workbook', Buffer.from('%PDF-1.7\n\u00ff\u00fe\u0000')),
    file('an old binary workbook', 'old-format', COMPOUND),
    file('a locked workbook', 'protected', Buffer.concat([COMPOUND, Buffer.from('EncryptedPackage', 'utf16le')])),
    file(
      'locked parts',
      'protected',
      changed(SHEET, () => ({ encrypted: true })),
    ),
    file('a zip of letters', 'not-a-workbook', writeZip([{ name: 'letter.txt', data: 'hello' }])),
    file('an empty zip', 'not-a-workbook', writeZip([])),
    file('the first half of a workbook', 'damaged', writeBareWorkbook(sound).subarray(0, 600)),
    file('macros', 'dangerous-content', added('xl/vbaProject.bin', Buffer.from([1, 2, 3]))),
    file('a macro sheet', 'dangerous-content', added('xl/macrosheets/sheet1.xml', '<a/>')),
    file('a link to another file', 'dangerous-content', added('xl/externalLinks/externalLink1.xml', '<a/>')),
    file('an embedded program', 'dangerous-content', added('xl/embeddings/oleObject1.bin', 'MZ')),
    file('a control that runs', 'dangerous-content', added('xl/activeX/activeX1.xml', '<a/>')),
    file('a billion laughs', 'dangerous-content', before(SHEET, LAUGHS)),
    file(
      'an entity that reads this machine’s files',
      'dangerous-content',
      before(WORKBOOK, '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]>'),
    ),
    file(
      'an entity that calls another server',
      'dangerous-content',
      before('xl/_rels/workbook.xml.rels', '<!DOCTYPE a [<!ENTITY % b SYSTEM "http://127.0.0.1:9/x"> %b;]>'),
    ),
    file('a bomb of one cell', 'too-large', cell(`<c r="A1" t="inlineStr"><is><t>${'A'.repeat(40 * MB)}</t></is></c>`)),
    file('a bomb of empty space', 'too-large', sheet(' '.repeat(40 * MB))),
    file('a path out of the folder', 'damaged', added('../../../etc/cron.d/x.xml', '<a/>')),
    file('a path from the root of a drive', 'damaged', added('C:\\x.xml', '<a/>')),
    file('one part twice', 'damaged', added(WORKBOOK, '<a/>')),
    file(
      'a size that is a lie',
      'damaged',
      changed(SHEET, () => ({ claimedSize: 10 })),
    ),
    file('a sheet that is not there', 'damaged', writeZip(workbookParts(sound).filter(({ name }) => name !== SHEET))),
    file('XML that stops', 'damaged', sheet('<sheetData><row r="1"><c')),
    file('elements a hundred thousand deep', 'damaged', sheet(`${'<a>'.repeat(100_000)}`)),
    file('a cell beyond the last column', 'damaged', cell('<c r="ZZZZ1"><v>1</v></c>')),
    file('rows that run backwards', 'damaged', sheet('<sheetData><row r="2"/><row r="1"/></sheetData>')),
    file('a number in words', 'damaged', cell('<c r="A1"><v>1e999999999x</v></c>')),
    file('a text of the list that is not there', 'damaged', cell('<c r="A1" t="s"><v>-1</v></c>')),
    file('a sound workbook of somebody else', 'missing-sheet', writeBareWorkbook(sound)),
  ];
}
