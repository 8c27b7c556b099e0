import type { FarmSituation } from '@jarfold/domain/planning';
import { describeProblem, readFarmWorkbook } from '@jarfold/workbook';
import { readWorkbookFile } from './files.js';
import { UsageError } from './parse-options.js';
import { type Ending, runMain } from './run-main.js';
import { liveSeasons, readSeasonCommand, seasonHelp, seasonText } from './season-command.js';

/** `npm run -s season -- --farm FILE.xlsx --seeds A..B --policy NAME --json`: lives seasons and tells what came of them. */
async function main(args: readonly string[]): Promise<Ending> {
  try {
    const command = readSeasonCommand(args);
    if (command === 'help') return { exitCode: 0, output: seasonHelp, errors: '' };
    const situation = command.file === null ? null : await situationOf(command.file);
    const report = await liveSeasons(command, situation);
    const output = command.json ? `${JSON.stringify(report, null, 2)}\n` : seasonText(report);
    return { exitCode: 0, output, errors: '' };
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    return { exitCode: 2, output: '', errors: `${error.message} ${error.advice}\n` };
  }
}

async function situationOf(file: string): Promise<FarmSituation> {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  const reading = await readFarmWorkbook(await readWorkbookFile(file), { nowMs: Date.now(), timeZoneIfNone: timeZone });
  if (reading.ok) return reading.farm.situation;
  const problems = reading.problems.map((problem) => `  ${describeProblem(problem)}`).join('\n');
  throw new UsageError(`${file} cannot be lived:\n${problems}\n`, 'Correct them and try again.');
}

await runMain(main);
