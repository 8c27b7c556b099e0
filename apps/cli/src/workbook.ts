import { StartUpError } from '@jarfold/server/platform';
import { UsageError } from './command-line.js';
import { type Outcome, refusedUsage } from './run-command.js';
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

// A reader that closes early (`| head`) has what it wanted.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

try {
  const { exitCode, output, errors } = await main(process.argv.slice(2));
  process.stdout.write(output);
  process.stderr.write(errors);
  process.exitCode = exitCode;
} catch (error) {
  process.stderr.write(
    `Jarfold failed unexpectedly; nothing was changed.\n${error instanceof Error ? error.stack : error}\n`,
  );
  process.exitCode = 1;
}
