import { readCommandLine } from './command-line.js';
import { UsageError } from './parse-options.js';
import { type Outcome, refusedUsage, runCommand } from './run-command.js';
import { runMain } from './run-main.js';

async function main(args: readonly string[]): Promise<Outcome> {
  try {
    const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
    return await runCommand(readCommandLine(args), { nowMs: Date.now(), timeZone });
  } catch (error) {
    if (error instanceof UsageError) return refusedUsage(error, args.includes('--json'));
    throw error;
  }
}

await runMain(main);
