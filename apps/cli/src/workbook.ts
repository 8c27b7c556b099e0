import { StartUpError } from '@jarfold/server/platform';
import { UsageError } from './parse-options.js';
import { type Outcome, refusedUsage } from './run-command.js';
import { runMain } from './run-main.js';
import { readWorkbookCommand } from './workbook/command.js';
import { runWorkbookCommand } from './workbook/run-workbook-command.js';

async function main(args: readonly string[]): Promise<Outcome> {
  try {
    return await runWorkbookCommand(readWorkbookCommand(args), process.env);
  } catch (error) {
    if (error instanceof UsageError) return refusedUsage(error, args.includes('--json'));
    if (error instanceof StartUpError) return { exitCode: 2, output: '', errors: `${error.message}\n` };
    throw error;
  }
}

await runMain(main);
