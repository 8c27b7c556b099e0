/**
 * `node scripts/new-migration.mjs what_changed`: writes the migration that takes the database from what the migrations
 * make now to what prisma/schema.prisma says. Row security, grants, checks and functions are added to the file by hand;
 * the integration tests refuse a farm table without them.
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { sqlMissing } from './schema-engine.mjs';
import { withMigratedDatabase } from './scratch-database.mjs';

const name = process.argv[2] ?? '';
if (!/^[a-z][a-z0-9_]{2,60}$/.test(name)) {
  console.error('Say what changes, in lower case with underscores: node scripts/new-migration.mjs add_shelf_depth');
  process.exit(1);
}

try {
  const schema = await readFile(new URL('../prisma/schema.prisma', import.meta.url), 'utf8');
  const sql = await withMigratedDatabase((url) => sqlMissing(url, schema));
  if (sql === '') {
    console.log('Nothing to migrate: the schema and the migrations agree.');
    process.exit(0);
  }
  const stamp = new Date().toISOString().replace(/\D/g, '').slice(0, 14);
  const folder = new URL(`../prisma/migrations/${stamp}_${name}/`, import.meta.url);
  await mkdir(folder);
  await writeFile(new URL('migration.sql', folder), sql);
  console.log(`Wrote ${fileURLToPath(folder)}migration.sql: read it, and add what Prisma cannot say.`);
  process.exit(0);
} catch (error) {
  console.error(error.message);
  process.exit(1);
}
