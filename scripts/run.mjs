/** `node scripts/run.mjs ENTRY ARGS…`: builds what is out of date, then runs a built entry point in this process. */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from './build.mjs';

const [entry, ...args] = process.argv.slice(2);
try {
  await build({ web: false });
} catch (error) {
  console.error(error.message);
  process.exit(1);
}
process.argv.splice(1, process.argv.length - 1, resolve(entry), ...args);
await import(pathToFileURL(resolve(entry)).href);
