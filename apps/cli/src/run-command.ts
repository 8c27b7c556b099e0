import { planToJson } from '@jarfold/contracts';
import { type CalendarDay, calendarDayAt } from '@jarfold/domain';
import {
  type FarmSituation,
  planSpawn,
  planWithAssurance,
  type SpawnPlan,
  simulatePlan,
  thoroughEffort,
  usualChance,
} from '@jarfold/domain/planning';
import {
  describeProblem,
  exampleFarm,
  exampleKitchen,
  readFarmWorkbook,
  type WorkbookProblem,
  writeFarmWorkbook,
  writePlanWorkbook,
} from '@jarfold/workbook';
import { type Command } from './command-line.js';
import { readWorkbookFile, requireDifferent, requireFree, writeWorkbookFile } from './files.js';
import { help } from './help.js';
import { UsageError } from './parse-options.js';
import { planText } from './plan-text.js';
import type { Ending } from './run-main.js';

/** Who plans on the command line waits a little longer for the proof that a small farm's plan is the cheapest. */
const PROOF_MS = 20_000;

/** 0: planned or written. 2: something must be corrected first. */
export interface Outcome extends Ending {
  readonly exitCode: 0 | 2;
}

/** The clock and the zone of the machine: the only things the commands take from outside beside files. */
export interface Surroundings {
  readonly nowMs: number;
  readonly timeZone: string;
}

/** @throws UsageError when a file cannot be read or written */
export async function runCommand(command: Command, surroundings: Surroundings): Promise<Outcome> {
  switch (command.kind) {
    case 'help':
      return done(help);
    case 'example':
      return writeExample(command, surroundings);
    case 'plan':
      return plan(command, surroundings);
  }
}

async function writeExample(
  { which, file, asOf }: Extract<Command, { kind: 'example' }>,
  surroundings: Surroundings,
): Promise<Outcome> {
  await requireFree(file);
  const day = asOf ?? today(surroundings);
  const rows = which === 'farm' ? exampleFarm(day) : exampleKitchen(day);
  await writeWorkbookFile(file, await writeFarmWorkbook(rows));
  return done(`Wrote ${file}, dated for ${day}. Plan it: npm run -s plan -- ${quoted(file)} --as-of ${day}\n`);
}

async function plan(
  { file, asOf, json, out, ...how }: Extract<Command, { kind: 'plan' }>,
  { nowMs, timeZone }: Surroundings,
): Promise<Outcome> {
  if (out !== null) await requireDifferent(file, out);
  const bytes = await readWorkbookFile(file);
  const reading = await readFarmWorkbook(bytes, asOf ?? { nowMs, timeZoneIfNone: timeZone });
  if (!reading.ok) return refused(file, reading.problems, json);
  const { farm } = reading;
  const started = performance.now();
  const spawnPlan = await planned(farm.situation, how);
  const solveMs = Math.round(performance.now() - started);
  if (out !== null) await writeWorkbookFile(out, await writePlanWorkbook(spawnPlan, farm));
  if (json) return done(`${JSON.stringify({ ...planToJson(spawnPlan, solveMs), notices: farm.notices }, null, 2)}\n`);
  return done(planText(spawnPlan, farm) + (out === null ? '' : `\nThe plan is in ${out}.\n`));
}

/** The plan, with each run's probability by the usual chances around the farm's own values. */
async function planned(
  situation: FarmSituation,
  { assurance, thorough }: { readonly assurance: number | null; readonly thorough: boolean },
): Promise<SpawnPlan> {
  const chance = usualChance(situation);
  const effort = thorough ? thoroughEffort(situation.runs.length) : { guardMs: PROOF_MS };
  if (assurance !== null) return planWithAssurance(situation, chance, { assurance, ...effort });
  const plan = await planSpawn(situation, effort);
  const lived = simulatePlan(situation, plan, chance);
  return { ...plan, runs: plan.runs.map((run, at) => ({ ...run, probability: lived.runs[at]?.probability ?? null })) };
}

function refused(file: string, problems: readonly WorkbookProblem[], json: boolean): Outcome {
  if (json) return { exitCode: 2, output: `${JSON.stringify({ errors: problems }, null, 2)}\n`, errors: '' };
  const count = problems.length === 1 ? 'one thing' : `${problems.length} things`;
  const lines = problems.map((problem) => `  ${describeProblem(problem)}`);
  return {
    exitCode: 2,
    output: '',
    errors: `${file} was not planned; ${count} must be corrected:\n${lines.join('\n')}\n`,
  };
}

/** A command line or a file that cannot be used, told like the errors of a workbook. */
export function refusedUsage(error: UsageError, json: boolean): Outcome {
  if (!json) return { exitCode: 2, output: '', errors: `${error.message} ${error.advice}\n` };
  const problem = {
    code: 'usage',
    sheet: null,
    cell: null,
    column: null,
    value: null,
    rule: error.message,
    advice: error.advice,
  };
  return { exitCode: 2, output: `${JSON.stringify({ errors: [problem] }, null, 2)}\n`, errors: '' };
}

const today = ({ nowMs, timeZone }: Surroundings): CalendarDay => calendarDayAt(nowMs, timeZone);
const done = (output: string): Outcome => ({ exitCode: 0, output, errors: '' });
const quoted = (file: string) => (/^[\w./-]+$/.test(file) ? file : `'${file.replaceAll("'", "'\\''")}'`);
