import { calendarDay } from '@jarfold/domain';
import { readFarmWorkbook } from '@jarfold/workbook';
import { describe, expect, it, jest } from '@jest/globals';
import { defaultLimits, type WorkbookLimits } from '../../libs/workbook/src/package/limits.js';
import { writeBareWorkbook } from '../support/zip-writer.js';

const MB = 1024 * 1024;

/** Seconds on a quiet machine, minutes beside other tests. */
jest.setTimeout(300_000);

async function problemOf(bytes: Buffer, limits: Partial<WorkbookLimits> = {}) {
  const reading = await readFarmWorkbook(bytes, calendarDay('2026-11-25'), { ...defaultLimits, ...limits });
  if (reading.ok) throw new Error('The file was read.');
  return reading.problems[0];
}

/** Rows that differ, so that they do not pack like a bomb. */
function sheetOfRows(count: number): string {
  const rows = Array.from(
    { length: count },
    (_, at) => `<row><c><v>${(at * 7919.77) % 1e6}</v></c><c><v>${at}</v></c></row>`,
  );
  return `<sheetData>${rows.join('')}</sheetData>`;
}

describe('a file made to exhaust its reader', () => {
  it('one cell of 100 MB in a hundred kB is refused before it is unpacked', async () => {
    const cell = `<sheetData><row><c t="inlineStr"><is><t>${'A'.repeat(100 * MB)}</t></is></c></row></sheetData>`;
    const bytes = writeBareWorkbook({ sheets: { One: cell } });
    expect(bytes.length).toBeLessThan(MB);
    const before = process.memoryUsage().rss;
    expect(await problemOf(bytes)).toMatchObject({ code: 'too-large', advice: expect.stringContaining('Delete') });
    expect(process.memoryUsage().rss - before).toBeLessThan(100 * MB);
  });

  it('more rows than any farm has are refused', async () => {
    const bytes = writeBareWorkbook({ sheets: { One: sheetOfRows(60_000) } });
    expect(await problemOf(bytes)).toMatchObject({ code: 'too-large', rule: expect.stringContaining('rows') });
  });

  it('a sheet that needs more memory than the reader has ends the reader, not this process', async () => {
    const bytes = writeBareWorkbook({ sheets: { One: sheetOfRows(150_000) } });
    const limits = { rows: 1e9, cells: 1e9, heapMb: 24 };
    expect(await problemOf(bytes, limits)).toMatchObject({
      code: 'too-large',
      rule: 'Reading the file took more than 24 MB of memory.',
    });
  });

  it('a file that takes too long is given up', async () => {
    const bytes = writeBareWorkbook({ sheets: { One: sheetOfRows(40_000) } });
    expect(await problemOf(bytes, { timeoutMs: 30 })).toMatchObject({
      code: 'too-large',
      rule: 'Reading the file took longer than 0.03 seconds.',
    });
  });

  it('tens of thousands of wrong cells are all told, in little time', async () => {
    const heading = ['code', 'strain', 'generation', 'size', 'state', 'made on'];
    const row = (cells: readonly string[]) =>
      `<row>${cells.map((cell) => `<c t="inlineStr"><is><t>${cell}</t></is></c>`).join('')}</row>`;
    const jars = Array.from({ length: 20_000 }, (_, at) => row([`J${at * 31}`, `Strain ${at}`, 'x', 'y', 'z', 'soon']));
    const sheets = {
      Jars: `<sheetData>${row(heading)}${jars.join('')}</sheetData>`,
      Strains: `<sheetData>${row(['strain'])}${row(['Oyster'])}</sheetData>`,
    };
    const started = process.cpuUsage();
    const reading = await readFarmWorkbook(writeBareWorkbook({ sheets }), calendarDay('2026-11-25'));
    expect(!reading.ok && reading.problems.length).toBeGreaterThan(80_000);
    // Processor time of this process: the load of the machine must not decide.
    expect(process.cpuUsage(started).user / 1e6).toBeLessThan(30);
  });
});
