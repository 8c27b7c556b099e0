/** Brings the database that DATABASE_URL names up to date, and ends. For set-ups where the parts run apart. */
import { migrate, StartUpError } from '@jarfold/server/platform';
import { readSettings } from './settings.js';

try {
  const { databaseUrl } = readSettings(process.env);
  if (databaseUrl === null) throw new StartUpError('bad-environment', 'Set DATABASE_URL to the PostgreSQL to migrate.');
  const applied = await migrate({ ...process.env, DATABASE_URL: databaseUrl }, { log: (line) => console.log(line) });
  console.log(applied.length === 0 ? 'The database is up to date.' : `Applied ${applied.length} migrations.`);
} catch (error) {
  console.error(error instanceof StartUpError ? error.message : error);
  process.exit(1);
}
