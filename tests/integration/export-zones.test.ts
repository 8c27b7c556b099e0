import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { describe, expect, it, jest } from '@jest/globals';
import ExcelJS from 'exceljs';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';

jest.setTimeout(120_000);

/** The farthest east and west that people live, two odd offsets, and one that changes its clocks. */
const ZONES = ['Pacific/Kiritimati', 'Pacific/Pago_Pago', 'Asia/Kathmandu', 'America/St_Johns', 'Europe/Vienna'];
/** Days on which clocks change, years end, and February is long. */
const DAYS = ['1970-01-01', '2026-03-29', '2026-10-25', '2026-12-31', '2027-01-01', '2028-02-29', '2100-12-31'];
const ROOT = fileURLToPath(new URL('../..', import.meta.url));

/** Runs in a process of its own, as a process reads its time zone once. */
const SCRIPT = `
import { calendarText } from '@jarfold/domain';
import { writeRecallWorkbook } from '@jarfold/workbook';
const days = ${JSON.stringify(DAYS)};
const grams = { madeG: 1, drawnG: 0, leftG: 1, discardedG: 0 };
const jar = (madeOn, i) => ({ jarId: 'j' + i, code: 'J' + i, lotId: 'l', lotCode: 'L', relation: 'asked', steps: 0,
  strainCode: 'S', generation: 1, state: 'ripe', madeOn, contaminatedOn: null, place: null, ...grams });
const book = await writeRecallWorkbook({ asOf: days[0], asked: { kind: 'lot', id: 'l', code: 'L' }, jars: days.map(jar),
  runs: [], balance: { jars: 0, present: 0, gone: 0, ...grams, unaccountedG: 0, unbalanced: [], byState: [] } });
const text = calendarText({ name: 'Farm', madeAt: '2026-11-29T12:00:00.000Z',
  events: days.map((day, i) => ({ id: 'e' + i, day, summary: 'T' + i, description: '', category: 'bench' })) });
process.stdout.write(JSON.stringify({ zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  book: book.toString('base64'), text }));
`;

interface Written {
  readonly zone: string;
  readonly book: string;
  readonly text: string;
}

async function writtenIn(zone: string): Promise<Written> {
  const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=module', '-e', SCRIPT], {
    cwd: `${ROOT}/apps/api`,
    env: { ...process.env, NODE_OPTIONS: '', TZ: zone },
    maxBuffer: 10_000_000,
  });
  return JSON.parse(stdout);
}

const DAY_MS = 86_400_000;
/** Source: ECMA-376 part 1, 18.17.4.1: serial 1 is 1900-01-01, with a 29 February 1900 that never was. */
const serialOf = (day: string): number => Date.parse(`${day}T00:00:00Z`) / DAY_MS + 25_569;

describe.each(ZONES)('what leaves a server in %s', (zone) => {
  it('holds each day as it is, in cells of our reader and of another, and in the calendar', async () => {
    const written = await writtenIn(zone);
    // Some systems call Kathmandu by its older name.
    expect(new Intl.DateTimeFormat('en', { timeZone: written.zone }).resolvedOptions().timeZone).toBe(
      new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone,
    );
    const bytes = Buffer.from(written.book, 'base64');
    const { sheets } = await readCells(bytes, defaultLimits);
    const made = sheets[0]!.rows.flatMap(({ cells }) => cells.filter(({ column }) => column === 12));
    expect(made.flatMap(({ content }) => (content.kind === 'day' ? [content.day] : []))).toEqual(DAYS);
    const book = new ExcelJS.Workbook();
    await book.xlsx.load(bytes as never);
    const values = book.worksheets[0]!.getColumn(12).values.filter((value) => value instanceof Date);
    expect(values.map((value) => (value as Date).getTime() / DAY_MS + 25_569)).toEqual(DAYS.map(serialOf));
    expect([...written.text.matchAll(/DTSTART;VALUE=DATE:(\d+)/g)].map(([, day]) => day)).toEqual(
      DAYS.map((day) => day.replaceAll('-', '')),
    );
  });
});
