import { readFile } from 'node:fs/promises';
import {
  type FarmOfService,
  farmLines,
  listFarms,
  WeekService,
  type WholeFarm,
  WholeFarmService,
  WorkbooksService,
} from '@jarfold/server';
import { AppError, type GrowerContext, type Platform, systemClock, systemIds } from '@jarfold/server/platform';
import { nearestName, writeTablesCsv, writeTablesWorkbook, writeWeeklyWorkbook } from '@jarfold/workbook';
import { requireFree, writeWorkbookFile } from '../files.js';
import { UsageError } from '../parse-options.js';
import type { Outcome } from '../run-command.js';
import { type WorkbookCommand, workbookHelp } from './command.js';
import { openFarmDatabase } from './farm-database.js';

/** @throws UsageError, StartUpError */
export async function runWorkbookCommand(command: WorkbookCommand, env: NodeJS.ProcessEnv): Promise<Outcome> {
  if (command.kind === 'help') return { exitCode: 0, output: workbookHelp, errors: '' };
  if (command.kind !== 'bring-in') await requireFree(command.out);
  const database = await openFarmDatabase(env);
  try {
    const ctx = await contextOf(database.platform, command.farm);
    if (command.kind === 'bring-in') return await bringIn(database.platform, ctx, command);
    const toFile = command.kind === 'week' ? makeWeek : exportFarm;
    return await toFile(database.platform, ctx, command);
  } finally {
    await database.close();
  }
}

type ToFile = Extract<WorkbookCommand, { readonly out: string }>;

async function makeWeek({ growerDb }: Platform, ctx: GrowerContext, { out, json }: ToFile): Promise<Outcome> {
  const weeks = new WeekService(growerDb, systemClock);
  const workbooks = new WorkbooksService(growerDb, weeks, systemClock, systemIds, writeWeeklyWorkbook);
  const made = await workbooks.make(ctx);
  const { bytes } = await workbooks.file(ctx, made.id);
  await writeWorkbookFile(out, bytes);
  const text = json
    ? JSON.stringify({ ...made, file: out }, null, 2)
    : `Wrote ${out}: week ${made.week}, as of ${made.asOf}.`;
  return { exitCode: 0, output: `${text}\n`, errors: '' };
}

async function exportFarm({ growerDb }: Platform, ctx: GrowerContext, { out, json }: ToFile): Promise<Outcome> {
  const whole = await new WholeFarmService(growerDb, systemClock).read(ctx);
  await writeWorkbookFile(out, await farmFile(out, whole));
  const rows = Object.values(whole.tables).reduce((sum, table) => sum + table.length, 0);
  const { stateHash } = whole;
  const text = json
    ? JSON.stringify({ file: out, rows, stateHash }, null, 2)
    : `Wrote ${out}: ${rows} rows, state ${stateHash}.`;
  return { exitCode: 0, output: `${text}\n`, errors: '' };
}

function farmFile(out: string, whole: WholeFarm): Promise<Buffer> | Buffer {
  if (/\.xlsx$/i.test(out)) return writeTablesWorkbook(whole.tables, whole.farm.name);
  if (/\.zip$/i.test(out)) return writeTablesCsv(whole.tables);
  if (/\.jsonl$/i.test(out)) return Buffer.from(`${[...farmLines(whole)].join('\n')}\n`);
  throw new UsageError(`${out} is of no kind that is written.`, 'End its name in .jsonl, .xlsx or .zip.');
}

async function bringIn(
  { growerDb }: Platform,
  ctx: GrowerContext,
  { file, json }: Extract<WorkbookCommand, { kind: 'bring-in' }>,
): Promise<Outcome> {
  const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
    throw new UsageError(`Cannot read ${file} (${error.code ?? error.message}).`, 'Check the name and the folder.');
  });
  try {
    const service = new WholeFarmService(growerDb, systemClock);
    const { rows, stateHash } = await service.bringIn(ctx, text.split('\n'), (done, total) => {
      if (process.stderr.isTTY) process.stderr.write(`\r${done} of ${total} rows`);
    });
    const said = json
      ? JSON.stringify({ file, rows, stateHash }, null, 2)
      : `Brought in ${rows} rows, state ${stateHash}.`;
    return { exitCode: 0, output: `${said}\n`, errors: '' };
  } catch (error) {
    if (error instanceof AppError) throw new UsageError(error.message, '');
    throw error;
  }
}

/** Acts for an owner of the farm that is named, or of the only one there is. */
async function contextOf({ platformDb }: Platform, wanted: string | null): Promise<GrowerContext> {
  const farm = chosen(await platformDb.run((tx) => listFarms(tx)), wanted);
  return { growerId: farm.growerId, staffId: farm.ownerStaffId, role: 'owner' };
}

function chosen(farms: readonly FarmOfService[], wanted: string | null): FarmOfService {
  if (farms.length === 0)
    throw new UsageError('There is no farm in this database yet.', 'Start Jarfold and set one up.');
  const names = farms.map(({ name }) => name);
  if (wanted === null) {
    const [only, second] = farms;
    if (only && second === undefined) return only;
    throw new UsageError('The database holds more than one farm.', `Add --farm with one of: ${names.join(', ')}.`);
  }
  const found = farms.filter(
    ({ growerId, name }) => growerId === wanted || name.toLowerCase() === wanted.toLowerCase(),
  );
  if (found[0] && found.length === 1) return found[0];
  if (found.length > 1)
    throw new UsageError(`Several farms are called "${wanted}".`, 'Give the id instead of the name.');
  const near = nearestName(wanted, names);
  throw new UsageError(
    `There is no farm called "${wanted}".`,
    near ? `Did you mean ${near}?` : `There is: ${names.join(', ')}.`,
  );
}
