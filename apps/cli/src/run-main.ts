import { speakPlainly } from '@jarfold/contracts';

/** What a command ends with: text for standard output and standard error, and the exit code. */
export interface Ending {
  readonly exitCode: number;
  readonly output: string;
  readonly errors: string;
}

/**
 * Runs a command to its end: prints what it says and leaves with its code. An unexpected failure leaves with 1 and says
 * that nothing was changed, which holds as every command writes its file last.
 */
export async function runMain(main: (args: readonly string[]) => Promise<Ending>): Promise<void> {
  // A reader that closes early (`| head`) has what it wanted.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
  speakPlainly();
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
}
