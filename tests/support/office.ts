import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { run } from './plan-command.js';

/** LibreOffice, where it is installed. */
export const soffice = ['/usr/bin/soffice', '/usr/local/bin/soffice', '/opt/libreoffice/program/soffice'].find(
  existsSync,
);

/** Comma, double quotes, UTF-8, raw values (not as shown), every sheet into its own file. */
const CSV_RAW = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1';

const ALWAYS_CALCULATE = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>`;

/** Makes a profile that calculates every formula anew: by itself the program believes the results a file holds. */
export async function alwaysCalculate(folder: string): Promise<void> {
  await mkdir(join(folder, 'profile', 'user'), { recursive: true });
  await writeFile(join(folder, 'profile', 'user', 'registrymodifications.xcu'), ALWAYS_CALCULATE);
}

/** Converts a file with a profile of its own in the folder. */
export async function convert(folder: string, file: string, format: string, outFolder: string): Promise<void> {
  const profile = `-env:UserInstallation=file://${join(folder, 'profile')}`;
  const { code, errors } = await run(soffice ?? '', [
    ...[profile, '--headless', '--convert-to', format, '--outdir', outFolder, file],
  ]);
  if (code !== 0) throw new Error(errors);
}

/** Every sheet as rows of raw values. */
export async function rawSheets(folder: string, file: string): Promise<ReadonlyMap<string, string[][]>> {
  const stem = basename(file, '.xlsx');
  const outFolder = join(folder, `csv-${stem}`);
  await convert(folder, file, CSV_RAW, outFolder);
  const names = await readdir(outFolder);
  const sheets = names.map(async (name) => {
    const rows = csvRows(await readFile(join(outFolder, name), 'utf8'));
    return [name.slice(stem.length + 1, -'.csv'.length), rows] as const;
  });
  return new Map(await Promise.all(sheets));
}

/** RFC 4180. */
export function csvRows(text: string): string[][] {
  const rows: string[][] = [[]];
  for (const [, quoted, plain = '', end] of text.matchAll(/(?:"((?:[^"]|"")*)"|([^,\n]*))(,|\n|$)/g)) {
    rows.at(-1)?.push(quoted?.replaceAll('""', '"') ?? plain);
    if (end === '\n') rows.push([]);
    if (end === '') break;
  }
  return rows;
}
