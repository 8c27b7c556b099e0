import { parseArgs } from 'node:util';

export interface LauncherArguments {
  readonly demo: 'farm' | 'kitchen' | null;
  readonly help: boolean;
}

export const USAGE = `Starts Jarfold: PostgreSQL, the API, the worker and the web app, in one go.

  npm start                     start; the first start says how to set up the farm
  npm start -- --demo           the same, with an invented farm if the database is empty
  npm start -- --demo-small     the same, with an invented kitchen if the database is empty

Settings (environment):
  PORT            port of the web app and API, 3000 unless set
  HOST            address to listen on, localhost unless set; anything else is served over TLS
  JARFOLD_DATA    data folder of the embedded PostgreSQL, ./data unless set
  DATABASE_URL    a PostgreSQL of your own; then nothing embedded starts
  REDIS_URL       keep the job queues in Redis instead of PostgreSQL
  JARFOLD_TLS_CERT, JARFOLD_TLS_KEY   your own certificate (PEM files) instead of the local authority's
`;

/** Reads the command line. Returns a sentence instead when it makes no sense. */
export function readArguments(args: readonly string[]): LauncherArguments | string {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: { demo: { type: 'boolean' }, 'demo-small': { type: 'boolean' }, help: { type: 'boolean', short: 'h' } },
      strict: true,
    });
    if (values.demo && values['demo-small']) return 'Choose one of --demo and --demo-small.';
    return { demo: values.demo ? 'farm' : values['demo-small'] ? 'kitchen' : null, help: values.help ?? false };
  } catch (error) {
    return `${(error as Error).message.split('.')[0]}. Run \`npm start -- --help\` to see what there is.`;
  }
}
