/**
 * `node tests/faults/run.mjs --level A --seeds 1..20 [--json]`: runs the fault simulation at full size and prints what
 * came of it: seeds, entries attempted, acknowledged and refused, lost, doubled, longest drain.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

const { values } = parseArgs({
  options: {
    level: { type: 'string', default: 'A' },
    seeds: { type: 'string', default: '1..5' },
    json: { type: 'boolean', default: false },
  },
});
if (!/^\d+\.\.\d+$/.test(values.seeds)) fail('Say which seeds as FIRST..LAST, such as --seeds 1..20.');
const test = { A: 'faults/level-a', B: 'faults/level-b' }[values.level];
if (!test)
  fail(`There is no level ${values.level} here: A runs in one process with virtual time, B kills real processes.`);

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'jarfold-faults-'));
const file = join(folder, 'reports.jsonl');
const jest = join(root, 'node_modules', 'jest', 'bin', 'jest.js');
const options = ['--experimental-vm-modules', jest, '--selectProjects', 'integration', '--maxWorkers=1', '--', test];
const { status } = spawnSync(process.execPath, options, {
  cwd: root,
  stdio: ['ignore', 'ignore', values.json ? 'ignore' : 'inherit'],
  env: {
    ...process.env,
    JARFOLD_FAULT_LEVEL: values.level,
    JARFOLD_FAULT_SEEDS: values.seeds,
    JARFOLD_FAULT_REPORT: file,
  },
});
const reports = existsSync(file)
  ? readFileSync(file, 'utf8')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line))
  : [];
rmSync(folder, { recursive: true });
const sum = (name) => reports.reduce((total, report) => total + report[name], 0);
const result = {
  level: values.level,
  seeds: values.seeds,
  run: reports.length,
  ...Object.fromEntries(
    ['attempted', 'acked', 'refused', 'settled', 'requests', 'faults', 'restarts', 'signIns', 'lost', 'doubled'].map(
      (name) => [name, sum(name)],
    ),
  ),
  kills: reports.map(({ kills }) => kills).filter(Boolean),
  longestDrainMin: Math.max(0, ...reports.map(({ drainMin }) => drainMin)),
  failedSeeds: reports
    .filter(({ breaches }) => breaches.length > 0)
    .map(({ seed, breaches }) => ({ seed, breaches: breaches.slice(0, 5) })),
};
process.stdout.write(`${values.json ? JSON.stringify(result) : JSON.stringify(result, null, 2)}\n`);
process.exit(status ?? 1);

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}
