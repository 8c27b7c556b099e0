import type { FileProblem } from '@jarfold/domain';
import { beforeAll, describe, expect, it } from '@jest/globals';
import ExcelJS from 'exceljs';
import { defaultLimits } from '../package/limits.js';
import { readCells } from '../package/read-cells.js';
import { writeXlsx } from '../writing/write-xlsx.js';
import { markProblems } from './mark-problems.js';
import { rawParts } from './raw-zip.js';

const problem = (cell: string, rule: string, sheet = 'My "jars" & <lots>'): FileProblem => ({
  ...{ code: 'not-a-number', sheet, cell, column: 'Grams', value: '=1+1', rule, advice: 'Write a number.' },
});

let withNotes: Buffer;
let withoutNotes: Buffer;

beforeAll(async () => {
  const column = { header: 'Jar', width: 20, format: '@' };
  const sheet = (note: object) => [
    {
      name: 'My "jars" & <lots>',
      title: ['Jars'],
      columns: [
        { ...column, ...note },
        { ...column, header: 'Grams' },
      ],
      rows: [
        ['A', 'many'],
        ['B', 'few'],
      ],
    },
    { name: 'Other', title: ['Other'], columns: [column], rows: [['C']] },
  ];
  withNotes = await writeXlsx(sheet({ note: 'What the jar is called.' }), 'Test');
  // Another program's file: it writes other parts in other places.
  const book = new ExcelJS.Workbook();
  const jars = book.addWorksheet('My "jars" & <lots>');
  jars.addRow(['Jars']);
  jars.addRow(['Jar', 'Grams']);
  jars.addRow(['A', 'many']);
  book.addWorksheet('Other').addRow(['C']);
  withoutNotes = Buffer.from(await book.xlsx.writeBuffer());
});

const read = async (bytes: Buffer) => {
  const book = new ExcelJS.Workbook();
  await book.xlsx.load(bytes as unknown as ExcelJS.Buffer);
  return book;
};
const noteOf = (book: ExcelJS.Workbook, cell: string) => {
  const { note } = book.getWorksheet('My "jars" & <lots>')!.getCell(cell);
  return typeof note === 'string' ? note : (note?.texts?.map(({ text }) => text).join('') ?? null);
};

describe.each([
  ['a file of ours, which has notes', () => withNotes],
  ['a file of another program without any', () => withoutNotes],
])('%s, marked', (_, file) => {
  it('has the list in front, linked, a note on each cell, and reads as before behind it', async () => {
    const marked = markProblems(file(), [
      problem('B3', 'No number.'),
      problem('B3', 'And too long.'),
      problem('A3', 'Odd.'),
    ]);
    const book = await read(marked);
    const [front] = book.worksheets;
    expect(front?.name).toBe('Mistakes');
    expect(front?.getCell('A1').text).toContain('3 things to put right');
    expect(front?.getCell('A4').text).toContain('!B3');
    expect(front?.getCell('C4').text).toBe('=1+1');
    expect(noteOf(book, 'B3')).toBe('No number. Write a number.\nAnd too long. Write a number.');
    expect(noteOf(book, 'A3')).toBe('Odd. Write a number.');
    const before = (await readCells(file(), defaultLimits)).sheets;
    expect((await readCells(marked, defaultLimits)).sheets.slice(1)).toEqual(before);
  });

  it('keeps every part it needs not touch byte by byte', () => {
    const before = new Map(rawParts(file()).map((part) => [part.name, part]));
    const after = rawParts(markProblems(file(), [problem('B3', 'No number.')]));
    const touched = after
      .filter(({ name, packed }) => !before.get(name)?.packed.equals(packed))
      .map(({ name }) => name);
    expect(touched.every((name) => /Content_Types|workbook\.xml|sheet[13]\.xml|comments|vml/i.test(name))).toBe(true);
    expect(touched.some((name) => /sheet2\.xml$|styles|theme/.test(name))).toBe(false);
    expect([...before.keys()].filter((name) => !after.some((part) => part.name === name))).toEqual([]);
  });

  it('can be marked again: the first list and notes make place for the second', async () => {
    const once = markProblems(file(), [problem('B3', 'No number.'), problem('A3', 'Odd.')]);
    const book = await read(markProblems(once, [problem('A3', 'Still odd.')]));
    expect(book.worksheets.filter(({ name }) => name === 'Mistakes')).toHaveLength(1);
    expect(book.worksheets[0]?.getCell('A1').text).toContain('One thing');
    expect(noteOf(book, 'A3')).toBe('Still odd. Write a number.');
    expect(noteOf(book, 'B3')).toBeNull();
  });
});

describe('a cell that has a note of its person', () => {
  it('keeps it above ours', async () => {
    const book = await read(markProblems(withNotes, [problem('A2', 'Odd.')]));
    expect(noteOf(book, 'A2')).toBe('What the jar is called.\n\nOdd. Write a number.');
  });
});
