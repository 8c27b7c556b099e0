/**
 * `node benchmarks/workbook.mjs`: 10,000 jars of 20 columns written and read, by Jarfold and by the plain way with
 * exceljs in memory, each in a process of its own on the same rows; 100,000 rows written; 10,000 rows merged.
 * Time is processor time (user and system) of a process and the children it waits for, memory the peak resident size of
 * the largest of them. Reading counts the limited child process it happens in. Ratios are to exceljs in the same run.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const HERE = fileURLToPath(import.meta.url);
const COLUMNS = 20;

function* rows(count) {
  for (let at = 0; at < count; at++) {
    const text = Array.from({ length: 8 }, (_, column) => `OY${column}-26W${(at % 52) + 1}-${at}/${column}`);
    const numbers = Array.from({ length: 8 }, (_, column) => ((at * 7919 + column * 104729) % 100_000) / 10);
    const days = Array.from({ length: 4 }, (_, column) =>
      new Date(Date.UTC(2026, 0, 1 + ((at + column * 31) % 360))).toISOString().slice(0, 10),
    );
    yield [...text, ...numbers, ...days];
  }
}

const TASKS = {
  async 'write jarfold'(file, count) {
    const { streamXlsx } = await import('../libs/workbook/dist/writing/write-xlsx.js');
    const { createWriteStream } = await import('node:fs');
    const { pipeline } = await import('node:stream/promises');
    const { Readable } = await import('node:stream');
    const formats = [...Array(8).fill('@'), ...Array(8).fill('0.0'), ...Array(4).fill('yyyy-mm-dd')];
    const columns = formats.map((format, at) => ({ header: `Column ${at + 1}`, width: 14, format }));
    const drafted = {
      *[Symbol.iterator]() {
        for (const row of rows(count)) yield row.map((value, at) => (at >= 16 ? { day: value } : value));
      },
    };
    const draft = { name: 'Jars', title: ['Jars'], columns, rows: drafted };
    await pipeline(Readable.from(streamXlsx([draft], 'Benchmark')), createWriteStream(file));
  },
  async 'write exceljs'(file, count) {
    const { default: ExcelJS } = await import('exceljs');
    const book = new ExcelJS.Workbook();
    const sheet = book.addWorksheet('Jars');
    sheet.addRow(Array.from({ length: COLUMNS }, (_, at) => `Column ${at + 1}`));
    for (const row of rows(count))
      sheet.addRow(row.map((value, at) => (at >= 16 ? new Date(`${value}T00:00:00Z`) : value)));
    for (let at = 17; at <= 20; at++) sheet.getColumn(at).numFmt = 'yyyy-mm-dd';
    await book.xlsx.writeFile(file);
  },
  async 'read jarfold'(file) {
    const { readCellsInChild } = await import('../libs/workbook/dist/package/read-cells-in-child.js');
    const { defaultLimits } = await import('../libs/workbook/dist/package/limits.js');
    const { sheets } = await readCellsInChild(readFileSync(file), defaultLimits);
    let sum = 0;
    for (const { rows: found } of sheets) for (const { cells } of found) sum += cells.length;
    if (sum < 200_000) throw new Error(`only ${sum} cells`);
  },
  async 'read exceljs'(file) {
    const { default: ExcelJS } = await import('exceljs');
    const book = new ExcelJS.Workbook();
    await book.xlsx.readFile(file);
    let sum = 0;
    book.worksheets[0].eachRow((row) => row.eachCell(() => (sum += 1)));
    if (sum < 200_000) throw new Error(`only ${sum} cells`);
  },
  async merge() {
    const { mergeRows, decideMerge, appliedMerge } = await import('../libs/domain/dist/exchange/index.js');
    const cells = (at) =>
      Object.fromEntries(Array.from({ length: 13 }, (_, column) => [`c${column}`, at * 13 + column]));
    const base = new Map(Array.from({ length: 10_000 }, (_, at) => [`k${at}`, cells(at)]));
    const ours = new Map([...base].map(([key, values], at) => [key, at % 3 === 0 ? { ...values, c1: -1 } : values]));
    const theirs = [...base].map(([key, values], at) => ({
      key,
      values: at % 2 === 0 ? { ...values, c1: -2, c2: -3 } : values,
      deleted: false,
      place: `A${at}`,
    }));
    const before = process.cpuUsage();
    const result = mergeRows({ base, ours, theirs });
    appliedMerge(ours, decideMerge(result), ({ place }) => place);
    const { user, system } = process.cpuUsage(before);
    console.log(JSON.stringify({ mergeCpuMs: Math.round((user + system) / 1000), conflicts: result.conflicts.length }));
  },
};

/** Runs a task in a process of its own. A child it starts is waited for, so the system counts it in. */
function measure(task, file, count) {
  const started = performance.now();
  const { status, stdout, stderr } = spawnSync(
    '/usr/bin/time',
    ['-f', '%U %S %M', process.execPath, HERE, task, file, String(count)],
    { encoding: 'utf8' },
  );
  if (status !== 0) throw new Error(`${task}: ${stderr}`);
  const [user, system, peakKb] = stderr.trim().split('\n').at(-1).split(' ').map(Number);
  return {
    cpuS: user + system,
    wallS: (performance.now() - started) / 1000,
    peakMb: peakKb / 1024,
    output: stdout.trim(),
  };
}

async function main() {
  const folder = mkdtempSync(join(tmpdir(), 'jarfold-benchmark-'));
  const path = (name) => join(folder, name);
  try {
    const rounds = [0, 1, 2].map(() => ({
      writeJarfold: measure('write jarfold', path('j.xlsx'), 10_000),
      writeExceljs: measure('write exceljs', path('e.xlsx'), 10_000),
      readJarfold: measure('read jarfold', path('e.xlsx'), 0),
      readExceljs: measure('read exceljs', path('e.xlsx'), 0),
    }));
    const median = (of) => rounds.map(of).sort((a, b) => a - b)[1];
    const ratio = (a, b, of) => Number((median((round) => of(round[a])) / median((round) => of(round[b]))).toFixed(2));
    const large = measure('write jarfold', path('large.xlsx'), 100_000);
    const merge = JSON.parse(measure('merge', '-', 0).output);
    const cpu = ({ cpuS }) => cpuS;
    const peak = ({ peakMb }) => peakMb;
    const figures = {
      rows: 10_000,
      columns: COLUMNS,
      exportTimeRatio: ratio('writeJarfold', 'writeExceljs', cpu),
      exportMemoryRatio: ratio('writeJarfold', 'writeExceljs', peak),
      importTimeRatio: ratio('readJarfold', 'readExceljs', cpu),
      importMemoryRatio: ratio('readJarfold', 'readExceljs', peak),
      medians: Object.fromEntries(
        Object.keys(rounds[0]).map((name) => [
          name,
          {
            cpuS: Number(median((round) => round[name].cpuS).toFixed(2)),
            peakMb: Math.round(median((round) => round[name].peakMb)),
          },
        ]),
      ),
      rows100000: {
        cpuS: Number(large.cpuS.toFixed(2)),
        peakMb: Math.round(large.peakMb),
        fileMb: Number((statSync(path('large.xlsx')).size / 1e6).toFixed(1)),
      },
      ...merge,
    };
    console.log(JSON.stringify(figures, null, 2));
    writeFileSync(new URL('./results/workbook.json', import.meta.url), `${JSON.stringify(figures, null, 2)}\n`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const [task, file, count] = process.argv.slice(2);
await (task === undefined ? main() : TASKS[task](file, Number(count)));
