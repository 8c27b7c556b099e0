import { parseArgs } from 'node:util';
import { nearestName } from '@jarfold/workbook';

/** The command line cannot be understood or followed: says why, and what to do. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
  readonly advice: string;

  constructor(message: string, advice = 'See --help.') {
    super(message);
    this.advice = advice;
  }
}

interface KnownOption {
  readonly type: 'string' | 'boolean';
  readonly short?: string;
  readonly default?: string | boolean;
}
export type KnownOptions = Readonly<Record<string, KnownOption>>;

/**
 * The options of a command and what else stands on its line. An option nobody knows is told with the nearest one.
 * @throws UsageError
 */
export function parseOptions<const Options extends KnownOptions>(
  args: readonly string[],
  options: Options,
): ReturnType<typeof parseArgs<{ options: Options; allowPositionals: true }>> {
  requireKnown(
    args,
    Object.keys(options).map((name) => `--${name}`),
  );
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true });
  } catch (error) {
    throw new UsageError(`${(error instanceof Error ? error.message : String(error)).split(/\.\s/)[0]}.`);
  }
}

function requireKnown(args: readonly string[], known: readonly string[]): void {
  const end = args.indexOf('--');
  for (const argument of end === -1 ? args : args.slice(0, end)) {
    const [name = ''] = argument.split('=');
    if (!name.startsWith('-') || name === '-' || name === '-h' || known.includes(name)) continue;
    const near = nearestName(name, known);
    throw new UsageError(`There is no option ${name}.${near ? ` Did you mean ${near}?` : ''}`);
  }
}
