/**
 * `npm run check`: what CI runs. Static checks first (each prints what it found), then all tests. A failed static
 * check does not hide the ones behind it; the closing line holds the counts of the tests plus one failure per failed
 * check.
 */
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from './build.mjs';
import { closingLine, runTests } from './test.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const bin = (name) => join(root, 'node_modules', '.bin', name);

const CHECKS = [
  ['format and lint', bin('biome'), ['ci', '.']],
  ['types', bin('tsc'), ['-b', '--pretty', 'false']],
  [
    'boundaries',
    bin('depcruise'),
    ['--config', '.dependency-cruiser.cjs', '--output-type', 'err-long', 'libs', 'apps'],
  ],
  ['schema and migrations agree', process.execPath, ['scripts/check-schema.mjs']],
];

function runCheck([name, command, args]) {
  const started = Date.now();
  const { status, stdout, stderr } = spawnSync(command, args, { cwd: root, encoding: 'utf8' });
  const seconds = ((Date.now() - started) / 1000).toFixed(0);
  console.log(`${name}: ${status === 0 ? 'ok' : 'FAILED'} in ${seconds} s`);
  if (status !== 0) console.log(`${stdout}${stderr}`);
  return status === 0;
}

try {
  await build();
} catch (error) {
  console.error(error.message);
  console.log(closingLine({ passed: 0, failed: 1, skipped: 0 }));
  process.exit(1);
}
const failedChecks = CHECKS.map(runCheck).filter((ok) => !ok).length;
const total = await runTests(process.argv.slice(2));
total.failed += failedChecks;
console.log(closingLine(total));
process.exit(total.failed === 0 ? 0 : 1);
