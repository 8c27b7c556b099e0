import { describe, expect, it } from '@jest/globals';
import {
  type BareWorkbook,
  workbookParts,
  writeBareWorkbook,
  writeZip,
  type ZipEntry,
} from '../../../../tests/support/zip-writer.js';
import type { CellContent } from '../cells/cell.js';
import { UnreadableWorkbook } from '../problem.js';
import { defaultLimits, type WorkbookLimits } from './limits.js';
import { readCells } from './read-cells.js';

const rows = (...cells: string[]) => `<sheetData><row r="1">${cells.join('')}</row></sheetData>`;

async function contentsOf(cells: readonly string[], extra: Partial<BareWorkbook> = {}): Promise<CellContent[]> {
  const { sheets } = await readCells(writeBareWorkbook({ sheets: { One: rows(...cells) }, ...extra }), defaultLimits);
  return (sheets[0]?.rows[0]?.cells ?? []).map(({ content }) => content);
}

async function problemOf(bytes: Buffer, limits: Partial<WorkbookLimits> = {}) {
  try {
    await readCells(bytes, { ...defaultLimits, ...limits });
  } catch (error) {
    if (error instanceof UnreadableWorkbook) return error.problem;
    throw error;
  }
  throw new Error('The file was read.');
}

const styles = `<numFmts count="1"><numFmt numFmtId="170" formatCode="dd/mm/yyyy"/></numFmts>
  <cellXfs count="4"><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="170"/><xf numFmtId="9"/></cellXfs>`;

describe('cells of a workbook', () => {
  it('are read by their type: shared, inline and formula text, numbers, truth values, errors', async () => {
    const contents = await contentsOf(
      [
        '<c r="A1" t="s"><v>1</v></c>',
        '<c r="B1" t="inlineStr"><is><t>in place</t></is></c>',
        '<c r="C1" t="str"><f>A1&amp;"x"</f><v>twox</v></c>',
        '<c r="D1"><v>-1.5E-3</v></c>',
        '<c r="E1" t="b"><v>1</v></c>',
        '<c r="F1" t="e"><f>1/0</f><v>#DIV/0!</v></c>',
        '<c r="G1"><f>SUM(D1:D9)</f><v>12</v></c>',
        '<c r="H1"><f>SUM(D1:D9)</f></c>',
      ],
      { sharedStrings: '<si><t>one</t></si><si><r><t>t</t></r><r><rPr><b/></rPr><t>wo</t></r></si>' },
    );
    expect(contents).toEqual([
      { kind: 'text', text: 'two' },
      { kind: 'text', text: 'in place' },
      { kind: 'text', text: 'twox' },
      { kind: 'number', number: -0.0015, percent: false },
      { kind: 'boolean', value: true },
      { kind: 'error', code: '#DIV/0!' },
      { kind: 'number', number: 12, percent: false },
      { kind: 'uncomputed' },
    ]);
  });

  it('are days where their format says so, in the date system of the file', async () => {
    const cells = [
      '<c r="A1" s="1"><v>45000</v></c>',
      '<c r="B1" s="2"><v>45000.5</v></c>',
      '<c r="C1" t="d"><v>2026-11-25</v></c>',
    ];
    const days = async (date1904: boolean) =>
      (await contentsOf(cells, { styles, date1904 })).map((content) =>
        content.kind === 'day' ? content.day : content,
      );
    expect(await days(false)).toEqual(['2023-03-15', '2023-03-15', '2026-11-25']);
    expect(await days(true)).toEqual(['2027-03-16', '2027-03-16', '2026-11-25']);
  });

  it('keep the look of per cent, and leave out cells that hold nothing', async () => {
    const cells = [
      '<c r="A1" s="3"><v>0.05</v></c>',
      '<c r="B1" s="1"/>',
      '<c r="C1" t="inlineStr"><is><t> </t></is></c>',
    ];
    expect(await contentsOf(cells, { styles })).toEqual([{ kind: 'number', number: 0.05, percent: true }]);
  });

  it('decode characters XML cannot hold, and leave out how a text is pronounced', async () => {
    const sharedStrings = '<si><t>a_x000A_b _x005F_x0041_</t><rPh sb="0" eb="1"><t>ei</t></rPh></si>';
    expect(await contentsOf(['<c r="A1" t="s"><v>0</v></c>'], { sharedStrings })).toEqual([
      { kind: 'text', text: 'a\nb _x0041_' },
    ]);
  });

  it('may come without addresses, in parts with a namespace prefix, and with merged blocks', async () => {
    const parts = workbookParts({ sheets: { One: '' } }).map((part) =>
      part.name.endsWith('sheet1.xml')
        ? {
            ...part,
            data: '<x:worksheet xmlns:x="http://purl.oclc.org/ooxml/spreadsheetml/main"><x:sheetData><x:row><x:c><x:v>1</x:v></x:c><x:c><x:v>2</x:v></x:c></x:row></x:sheetData><x:mergeCells><x:mergeCell ref="A1:A3"/></x:mergeCells></x:worksheet>',
          }
        : part,
    );
    const { sheets } = await readCells(writeZip(parts), defaultLimits);
    expect(sheets[0]?.rows[0]?.cells.map(({ column, row }) => [column, row])).toEqual([
      [1, 1],
      [2, 1],
    ]);
    expect(sheets[0]?.merged).toEqual([{ top: 1, left: 1, bottom: 3, right: 1 }]);
  });
});

const sound: BareWorkbook = { sheets: { One: rows('<c r="A1"><v>1</v></c>') } };
const withPart = (name: string, data: string | Buffer): Buffer => writeZip([...workbookParts(sound), { name, data }]);
const sheetWith = (inner: string): Buffer => writeBareWorkbook({ sheets: { One: inner } });
const changed = (name: string, change: (part: ZipEntry) => ZipEntry): Buffer =>
  writeZip(workbookParts(sound).map((part) => (part.name === name ? change(part) : part)));

describe('a file that is no sound workbook', () => {
  const compound = Buffer.concat([Buffer.from('d0cf11e0a1b11ae1', 'hex'), Buffer.alloc(512)]);
  const cases: readonly [what: string, bytes: Buffer, code: string][] = [
    ['nothing at all', Buffer.alloc(0), 'empty-file'],
    ['a CSV file with another name', Buffer.from('code;strain\nA1;Blue oyster\n'), 'not-a-workbook'],
    ['a picture', Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex'), 'not-a-workbook'],
    ['an old binary workbook', compound, 'old-format'],
    ['a workbook with a password', Buffer.concat([compound, Buffer.from('EncryptedPackage', 'utf16le')]), 'protected'],
    ['a zip of something else', writeZip([{ name: 'letter.txt', data: 'hello' }]), 'not-a-workbook'],
    ['an empty zip', writeZip([]), 'not-a-workbook'],
    ['a text document', changed('xl/workbook.xml', (part) => ({ ...part, data: '<document/>' })), 'not-a-workbook'],
    ['a workbook cut off in the middle', writeBareWorkbook(sound).subarray(0, 700), 'damaged'],
    ['locked entries', changed('xl/workbook.xml', (part) => ({ ...part, encrypted: true })), 'protected'],
    ['a macro', withPart('xl/vbaProject.bin', Buffer.from([1, 2, 3])), 'dangerous-content'],
    ['a macro sheet', withPart('xl/macrosheets/sheet1.xml', '<a/>'), 'dangerous-content'],
    ['a link to another file', withPart('xl/externalLinks/externalLink1.xml', '<a/>'), 'dangerous-content'],
    ['an embedded file', withPart('xl/embeddings/oleObject1.bin', 'x'), 'dangerous-content'],
    ['an ActiveX control', withPart('xl/activeX/activeX1.xml', '<a/>'), 'dangerous-content'],
    [
      'an entity that grows a thousandfold',
      changed('xl/workbook.xml', (part) => ({
        ...part,
        data: `<!DOCTYPE a [<!ENTITY b "bbbb"><!ENTITY c "&b;&b;">]>${part.data}`,
      })),
      'dangerous-content',
    ],
    [
      'an entity that reads a file, in a part nothing points at',
      withPart('docProps/custom.xml', '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>'),
      'dangerous-content',
    ],
    ['XML that is not well formed', sheetWith('<sheetData><row>'), 'damaged'],
    [
      'XML in another encoding',
      changed('xl/workbook.xml', (part) => ({ ...part, data: Buffer.from(`\ufeff${part.data}`, 'utf16le') })),
      'damaged',
    ],
    ['a part twice', withPart('xl/workbook.xml', '<a/>'), 'damaged'],
    ['a path out of the file', withPart('../../outside.xml', '<a/>'), 'damaged'],
    [
      'a size in the header that is a lie',
      changed('xl/worksheets/sheet1.xml', (part) => ({ ...part, claimedSize: 10 })),
      'damaged',
    ],
    [
      'a sheet that is listed and missing',
      writeZip(workbookParts(sound).filter(({ name }) => !name.endsWith('sheet1.xml'))),
      'damaged',
    ],
    [
      'a cell beyond the last column',
      sheetWith('<sheetData><row r="1"><c r="XFE1"><v>1</v></c></row></sheetData>'),
      'damaged',
    ],
    ['a row beyond the last', sheetWith('<sheetData><row r="1048577"><c><v>1</v></c></row></sheetData>'), 'damaged'],
    ['rows that run backwards', sheetWith('<sheetData><row r="2"/><row r="1"/></sheetData>'), 'damaged'],
    ['a number that is none', sheetWith(rows('<c r="A1"><v>12abc</v></c>')), 'damaged'],
    ['a text that is not there', sheetWith(rows('<c r="A1" t="s"><v>7</v></c>')), 'damaged'],
    [
      'merged cells that are none',
      sheetWith('<sheetData/><mergeCells><mergeCell ref="A5:A1"/></mergeCells>'),
      'damaged',
    ],
  ];

  it.each(cases)('%s: is refused with a reason', async (_, bytes, code) => {
    const problem = await problemOf(bytes);
    expect(problem.code).toBe(code);
    expect(problem.advice).not.toBe('');
  });
});

describe('limits', () => {
  const manyRows = `<sheetData>${Array.from({ length: 60 }, (_, at) => `<row r="${at + 1}"><c><v>1</v></c></row>`).join('')}</sheetData>`;
  const cases: readonly [what: string, bytes: Buffer, limits: Partial<WorkbookLimits>][] = [
    ['the size of the file', writeBareWorkbook(sound), { fileBytes: 100 }],
    ['the number of parts', writeBareWorkbook(sound), { entries: 3 }],
    ['the unpacked size', sheetWith(' '.repeat(200_000)), { inflatedBytes: 100_000 }],
    ['how far a part unpacks', sheetWith(' '.repeat(2_000_000)), {}],
    [
      'how far a part unpacks when its header lies',
      changed('xl/worksheets/sheet1.xml', (part) => ({ ...part, data: ' '.repeat(2_000_000), claimedSize: 2_000_000 })),
      {},
    ],
    ['the number of sheets', writeBareWorkbook({ sheets: { A: '', B: '', C: '' } }), { sheets: 2 }],
    ['the number of rows', sheetWith(manyRows), { rows: 50 }],
    ['the number of columns', sheetWith(rows('<c r="ZZ1"><v>1</v></c>')), {}],
    ['the number of cells', sheetWith(manyRows), { cells: 50 }],
    [
      'the length of a text',
      sheetWith(rows(`<c r="A1" t="inlineStr"><is><t>${'a'.repeat(500)}</t></is></c>`)),
      { textLength: 50 },
    ],
    [
      'the number of merged blocks',
      sheetWith(`<sheetData/><mergeCells>${'<mergeCell ref="A1:B1"/>'.repeat(9)}</mergeCells>`),
      { mergedBlocks: 8 },
    ],
  ];

  it.each(cases)('hold for %s', async (_, bytes, limits) => {
    expect((await problemOf(bytes, limits)).code).toBe('too-large');
  });

  it('do not count cells and rows that are only formatted', async () => {
    const formatted = `<sheetData>${'<row><c s="1"/></row>'.repeat(60)}</sheetData>`;
    await expect(readCells(sheetWith(formatted), { ...defaultLimits, rows: 50, cells: 50 })).resolves.toMatchObject({
      sheets: [{ rows: [] }],
    });
  });
});
