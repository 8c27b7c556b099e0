/**
 * `npm run check`: what CI runs. Static checks first (each prints what it found), then all tests. A failed static
 * check does not hide the ones behind it; the closing line holds the counts of the tests plus one failure per failed
 * check.
 */
import { spawn } from 'node:child_process';
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

/** Resolves to whether it passed. The checks run side by side: each keeps one processor busy at most. */
function runCheck([name, command, args]) {
  const started = Date.now();
  return new Promise((resolve) => {
    const child = spawn(command, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text) => (output += text));
    child.on('error', (error) => (output += error.message));
    child.on('close', (code) => {
      const seconds = ((Date.now() - started) / 1000).toFixed(0);
      console.log(`${name}: ${code === 0 ? 'ok' : 'FAILED'} in ${seconds} s`);
      if (code !== 0) console.log(output);
      resolve(code === 0);
    });
  });
}

try {
  await build();
} catch (error) {
  console.error(error.message);
  console.log(closingLine({ passed: 0, failed: 1, skipped: 0 }));
  process.exit(1);
}
const failedChecks = (await Promise.all(CHECKS.map(runCheck))).filter((ok) => !ok).length;
const total = await runTests(process.argv.slice(2));
total.failed += failedChecks;
console.log(closingLine(total));
process.exit(total.failed === 0 ? 0 : 1);
