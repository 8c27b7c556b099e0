import { readFile } from 'node:fs/promises';
import {
  type FarmOfService,
  farmFileLines,
  farmFileOf,
  listFarms,
  Stopped,
  WeekService,
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
import { returnWorkbook } from './return-workbook.js';
import { progressLine, withProgress } from './show-progress.js';

/** @throws UsageError, StartUpError */
export async function runWorkbookCommand(command: WorkbookCommand, env: NodeJS.ProcessEnv): Promise<Outcome> {
  if (command.kind === 'help') return { exitCode: 0, output: workbookHelp, errors: '' };
  if ('out' in command) await requireFree(command.out);
  const database = await openFarmDatabase(env);
  try {
    const ctx = await contextOf(database.platform, command.farm);
    if (command.kind === 'bring-in') return await bringIn(database.platform, ctx, command);
    if (command.kind === 'return') return await returnWorkbook(database.platform, ctx, command);
    const toFile = command.kind === 'week' ? makeWeek : exportFarm;
    return await toFile(database.platform, ctx, command);
  } catch (error) {
    if (error instanceof Stopped) throw new UsageError('Stopped: nothing was changed, and no file was left.', '');
    throw error;
  } finally {
    await database.close();
  }
}

type ToFile = Extract<WorkbookCommand, { readonly out: string }>;

async function makeWeek({ growerDb }: Platform, ctx: GrowerContext, { out, json, progress }: ToFile): Promise<Outcome> {
  const weeks = new WeekService(growerDb, systemClock);
  const workbooks = new WorkbooksService(growerDb, weeks, systemClock, systemIds, writeWeeklyWorkbook);
  const made = await withProgress(progressLine('Writing', progress), (told) => workbooks.make(ctx, told));
  const { bytes } = await workbooks.file(ctx, made.id);
  await writeWorkbookFile(out, bytes);
  const text = json
    ? JSON.stringify({ ...made, file: out }, null, 2)
    : `Wrote ${out}: week ${made.week}, as of ${made.asOf}.`;
  return { exitCode: 0, output: `${text}\n`, errors: '' };
}

async function exportFarm(
  { growerDb }: Platform,
  ctx: GrowerContext,
  { out, json, progress }: ToFile,
): Promise<Outcome> {
  const form = formOf(out);
  const { whole, bytes } = await withProgress(progressLine('Writing', progress), async (told) => {
    const farm = await new WholeFarmService(growerDb, systemClock).read(ctx, told);
    return { whole: farm, bytes: await farmFileOf(farm, form, WRITERS, told) };
  });
  await writeWorkbookFile(out, bytes);
  const rows = Object.values(whole.tables).reduce((sum, table) => sum + table.length, 0);
  const { stateHash } = whole;
  const text = json
    ? JSON.stringify({ file: out, rows, stateHash }, null, 2)
    : `Wrote ${out}: ${rows} rows, state ${stateHash}.`;
  return { exitCode: 0, output: `${text}\n`, errors: '' };
}

const WRITERS = { xlsx: writeTablesWorkbook, csv: writeTablesCsv };

/** @throws UsageError */
function formOf(out: string): 'xlsx' | 'csv' | 'jsonl' {
  if (/\.xlsx$/i.test(out)) return 'xlsx';
  if (/\.zip$/i.test(out)) return 'csv';
  if (/\.jsonl$/i.test(out)) return 'jsonl';
  throw new UsageError(`${out} is of no kind that is written.`, 'End its name in .jsonl, .xlsx or .zip.');
}

async function bringIn(
  { growerDb }: Platform,
  ctx: GrowerContext,
  { file, json, progress }: Extract<WorkbookCommand, { kind: 'bring-in' }>,
): Promise<Outcome> {
  const bytes = await readFile(file).catch((error: NodeJS.ErrnoException) => {
    throw new UsageError(`Cannot read ${file} (${error.code ?? error.message}).`, 'Check the name and the folder.');
  });
  try {
    const service = new WholeFarmService(growerDb, systemClock);
    const { rows, stateHash } = await withProgress(progressLine('Bringing in', progress), (told) =>
      service.bringIn(ctx, farmFileLines(bytes), told),
    );
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
