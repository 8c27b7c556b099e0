import { type FarmOfService, listFarms, WeekService, WorkbooksService } from '@jarfold/server';
import { type GrowerContext, type Platform, systemClock, systemIds } from '@jarfold/server/platform';
import { nearestName, writeWeeklyWorkbook } from '@jarfold/workbook';
import { UsageError } from '../command-line.js';
import { requireFree, writeWorkbookFile } from '../files.js';
import type { Outcome } from '../run-command.js';
import { type WorkbookCommand, workbookHelp } from './command.js';
import { openFarmDatabase } from './farm-database.js';

/** @throws UsageError, StartUpError */
export async function runWorkbookCommand(command: WorkbookCommand, env: NodeJS.ProcessEnv): Promise<Outcome> {
  if (command.kind === 'help') return { exitCode: 0, output: workbookHelp, errors: '' };
  await requireFree(command.out);
  const database = await openFarmDatabase(env);
  try {
    const ctx = await contextOf(database.platform, command.farm);
    return await makeWeek(database.platform, ctx, command);
  } finally {
    await database.close();
  }
}

async function makeWeek(
  { growerDb }: Platform,
  ctx: GrowerContext,
  { out, json }: Extract<WorkbookCommand, { kind: 'week' }>,
): Promise<Outcome> {
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
