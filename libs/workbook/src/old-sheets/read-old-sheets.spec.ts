import { describe, expect, it } from '@jest/globals';
import { oldSheetsLimits, readOldSheets } from './read-old-sheets.js';

const TEXT = 'Glas;Sorte;Menge\r\nA1;"Blauer; Austern ""stark""";1,5\r\n;;\r\nÄ2;Kräuter;2,25\r\n';

async function cellsOf(bytes: Buffer) {
  const reading = await readOldSheets(bytes, 'Gläser 2025.csv');
  if (!reading.ok) throw new Error(reading.problem.rule);
  const [sheet] = reading.file.sheets;
  const texts = sheet!.rows.map(({ row, cells }) => [
    row,
    ...cells.map(({ content }) => (content as { text: string }).text),
  ]);
  return { name: sheet!.name, opened: reading.opened, texts };
}

const READ = [
  [1, 'Glas', 'Sorte', 'Menge'],
  [2, 'A1', 'Blauer; Austern "stark"', '1,5'],
  [4, 'Ä2', 'Kräuter', '2,25'],
];

describe('an old spreadsheet that is a text file', () => {
  it.each([
    ['UTF-8', Buffer.from(TEXT, 'utf8')],
    ['UTF-8', Buffer.from(`\ufeff${TEXT}`, 'utf8')],
    ['UTF-16', Buffer.from(`\ufeff${TEXT}`, 'utf16le')],
    ['UTF-16', Buffer.from(TEXT, 'utf16le')],
    ['UTF-16', Buffer.from(`\ufeff${TEXT}`, 'utf16le').swap16()],
    ['Windows-1252', Buffer.from(TEXT, 'latin1')],
  ])('is read as %s, and says so', async (encoding, bytes) => {
    const { name, opened, texts } = await cellsOf(bytes);
    expect(opened).toEqual({ kind: 'text', encoding, separator: ';' });
    expect(name).toBe('Gläser 2025');
    expect(texts).toEqual(READ);
  });

  it.each([
    [',', 'Code,Made,Grams\nA1,2026-11-01,500\nA2,2026-11-02,"1,5"\n'],
    [';', 'Code;Made;Grams\nA1;2026-11-01;1,5\nA2;2026-11-02;2,5\n'],
    ['\t', 'Code\tMade\tGrams\nA1\t1,5\t2;5\nA2\t1\t2'],
    [';', 'Code;Note\nA1;one, two, three, four\nA2;five\n'],
    [';', 'sep=;\nCode;Made, or not, we forget\nA1;2026\n'],
  ])('parts its cells by %p', async (separator, text) => {
    expect((await cellsOf(Buffer.from(text))).opened).toMatchObject({ separator });
  });

  it('may have a quote that never ends, and line ends inside quotes', async () => {
    expect((await cellsOf(Buffer.from('a,b\n"5 inch,x\n'))).texts).toEqual([
      [1, 'a', 'b'],
      [2, '"5 inch', 'x'],
    ]);
    expect((await cellsOf(Buffer.from('a,b\n"two\nlines",x\n'))).texts[1]).toEqual([2, 'two\nlines', 'x']);
  });

  it('is refused with its reason when it is none, is empty, or passes a limit', async () => {
    const reasonOf = async (bytes: Buffer, limits = oldSheetsLimits) => {
      const reading = await readOldSheets(bytes, 'x', limits);
      return reading.ok ? null : reading.problem.code;
    };
    expect(await reasonOf(Buffer.from([1, 2, 3, 4, 5, 6]))).toBe('not-a-workbook');
    expect(await reasonOf(Buffer.alloc(0))).toBe('empty-file');
    expect(await reasonOf(Buffer.from(' \n \n'))).toBe('empty-file');
    expect(await reasonOf(Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]))).toBe('old-format');
    expect(await reasonOf(Buffer.from('a,b\n'.repeat(5)), { ...oldSheetsLimits, rows: 4 })).toBe('too-large');
    expect(await reasonOf(Buffer.from('a,b\n'.repeat(5)), { ...oldSheetsLimits, cells: 9 })).toBe('too-large');
    expect(await reasonOf(Buffer.alloc(6 * 1024 * 1024, 'a'))).toBe('too-large');
  });
});
