import { existsSync } from 'node:fs';
import { readdir, readFile, writeFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { calendarDay } from '@jarfold/domain';
import { exampleFarm, readFarmWorkbook, writeFarmWorkbook } from '@jarfold/workbook';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { defaultLimits } from '../../libs/workbook/src/package/limits.js';
import { readCells } from '../../libs/workbook/src/package/read-cells.js';
import { planCommand, run, temporaryFolder } from '../support/plan-command.js';

/** LibreOffice as an independent reader and writer of what Jarfold writes. */
const soffice = ['/usr/bin/soffice', '/usr/local/bin/soffice', '/opt/libreoffice/program/soffice'].find(existsSync);
const DAY = calendarDay('2026-11-25');
/** Comma, double quotes, UTF-8, cells as shown, every sheet into its own file. */
const CSV = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1';

let folder: Awaited<ReturnType<typeof temporaryFolder>>;

beforeAll(async () => {
  folder = await temporaryFolder();
});

afterAll(() => folder.remove());

/** Seconds on a quiet machine, minutes beside other tests. */
jest.setTimeout(300_000);

async function convert(file: string, format: string, outFolder: string): Promise<void> {
  const profile = `-env:UserInstallation=file://${folder.path('profile')}`;
  const args = [profile, '--headless', '--convert-to', format, '--outdir', outFolder, file];
  const { code, errors } = await run(soffice ?? '', args);
  if (code !== 0) throw new Error(errors);
}

async function csvSheets(file: string): Promise<ReadonlyMap<string, readonly (readonly string[])[]>> {
  const outFolder = folder.path(`csv-${basename(file, '.xlsx')}`);
  await convert(file, CSV, outFolder);
  const names = await readdir(outFolder);
  const stem = basename(file, '.xlsx');
  const sheets = await Promise.all(
    names.map(
      async (name) =>
        [name.slice(stem.length + 1, -'.csv'.length), csvRows(await readFile(`${outFolder}/${name}`, 'utf8'))] as const,
    ),
  );
  return new Map(sheets);
}

/** RFC 4180. */
function csvRows(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const [, quoted, plain = '', end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^,\n]*))(,|\n|$)/g)) {
    rows.at(-1)?.push(quoted?.replaceAll('""', '"') ?? plain);
    if (end === '\n') rows.push([]);
    if (end === '') break;
  }
  return rows;
}

(soffice ? describe : describe.skip)(soffice ? 'LibreOffice' : 'skipped: no LibreOffice', () => {
  it('reads every code, name, day and number of a farm workbook as it was written', async () => {
    const rows = exampleFarm(DAY);
    const file = folder.path('farm.xlsx');
    await writeFile(file, await writeFarmWorkbook(rows));
    const sheets = await csvSheets(file);
    expect([...sheets.keys()].sort()).toEqual(['Farm', 'Jars', 'Rooms', 'Runs', 'Sizes', 'Strains']);
    const jars =
      sheets
        .get('Jars')
        ?.slice(1)
        .filter(([code]) => code !== '') ?? [];
    expect(jars.map((row) => row.slice(0, 6))).toEqual(
      rows.jars.map((jar) => [jar.code, jar.strain, String(jar.generation), jar.size, jar.state, jar.madeOn]),
    );
    const runs =
      sheets
        .get('Runs')
        ?.slice(1)
        .filter(([run]) => run !== '') ?? [];
    expect(runs.map((row) => row.slice(0, 5))).toEqual(
      rows.runs.map((each) => [
        each.run,
        each.day,
        each.strains?.join(', '),
        String(each.substrateWetKg),
        String(Number(((each.spawnRate ?? 0) * 100).toPrecision(12))),
      ]),
    );
  });

  it('saves a farm workbook again without changing what Jarfold reads from it', async () => {
    const rows = exampleFarm(DAY);
    const tricky = {
      ...rows,
      jars: rows.jars.map((jar, at) => (at < 4 ? { ...jar, code: ['00042', '1E5', 'MAR1', '=1+1'][at] ?? '' } : jar)),
    };
    const file = folder.path('resaved.xlsx');
    await writeFile(file, await writeFarmWorkbook(tricky));
    await convert(file, 'xlsx', folder.path('again'));
    const reading = await readFarmWorkbook(await readFile(folder.path('again/resaved.xlsx')), DAY);
    expect(reading.ok ? reading.farm.rows : reading.problems).toEqual(tricky);
  });

  it('shows the plan workbook as Jarfold wrote it, sums included', async () => {
    const farm = folder.path('to-plan.xlsx');
    const out = folder.path('plan.xlsx');
    await planCommand(['--example-small', farm, '--as-of', DAY]);
    expect((await planCommand([farm, '--as-of', DAY, '--out', out])).code).toBe(0);
    const sheets = await csvSheets(out);
    const ours = await readCells(await readFile(out), defaultLimits);
    expect([...sheets.keys()].sort()).toEqual(ours.sheets.map(({ name }) => name).sort());
    for (const { name, rows } of ours.sheets) {
      for (const { row, cells } of rows) {
        for (const { column, content } of cells) {
          const shown = sheets.get(name)?.[row - 1]?.[column - 1];
          if (content.kind === 'text') expect(shown).toBe(content.text);
          if (content.kind === 'number' && Number.isInteger(content.number)) {
            expect(shown?.replaceAll(/[,%]/g, '')).toMatch(new RegExp(`^(${content.number}|${content.number * 100})$`));
          }
          if (content.kind === 'day') expect(new Date(`${shown} UTC`).toISOString().slice(0, 10)).toBe(content.day);
        }
      }
    }
  });
});
