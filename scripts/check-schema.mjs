/**
 * Do prisma/schema.prisma and prisma/migrations describe the same database? Applies the migrations to a throwaway
 * database and compares. Exit code 0: they agree; 2: they do not, and the SQL that is missing is printed.
 */
import { readFile } from 'node:fs/promises';
import { sqlMissing } from './schema-engine.mjs';
import { withMigratedDatabase } from './scratch-database.mjs';

const schemaFile = new URL('../prisma/schema.prisma', import.meta.url);

try {
  const schema = await readFile(schemaFile, 'utf8');
  const missing = await withMigratedDatabase((url) => sqlMissing(url, schema));
  if (missing === '') {
    console.log('The schema and the migrations agree.');
    process.exit(0);
  }
  console.error('prisma/schema.prisma says more or less than prisma/migrations. What the migrations lack:\n');
  console.error(missing);
  console.error('Make it a migration: node scripts/new-migration.mjs what_changed');
  process.exit(2);
} catch (error) {
  console.error(error.message);
  process.exit(1);
}
