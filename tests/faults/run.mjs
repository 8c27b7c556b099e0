/**
 * `node tests/faults/run.mjs --level A --seeds 1..20 [--json]`: runs the fault simulation at full size and prints what
 * came of it: seeds, entries attempted, acknowledged and refused, lost, doubled, longest drain. The result, with its day, is
 * kept in benchmarks/results/faults-a.json or faults-b.json.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
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
// Level B starts and kills real processes: one seed per run, so that each begins on a clean machine.
const [first, last] = values.seeds.split('..').map(Number);
const parts =
  values.level === 'A'
    ? [values.seeds]
    : Array.from({ length: last - first + 1 }, (_, at) => `${first + at}..${first + at}`);
const codes = parts.map((seeds) => runSeeds(seeds));
const reports = existsSync(file)
  ? readFileSync(file, 'utf8')
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line))
  : [];
rmSync(folder, { recursive: true });
const sum = (name) => reports.reduce((total, report) => total + report[name], 0);
const result = {
  date: new Date().toISOString().slice(0, 10),
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
const results = join(root, 'benchmarks', 'results');
mkdirSync(results, { recursive: true });
writeFileSync(join(results, `faults-${values.level.toLowerCase()}.json`), `${JSON.stringify(result, null, 2)}\n`);
process.exit(codes.every((code) => code === 0) ? 0 : 1);

function runSeeds(seeds) {
  const { status } = spawnSync(process.execPath, options, {
    cwd: root,
    stdio: ['ignore', 'ignore', values.json ? 'ignore' : 'inherit'],
    env: {
      ...process.env,
      JARFOLD_FAULT_LEVEL: values.level,
      JARFOLD_FAULT_SEEDS: seeds,
      JARFOLD_FAULT_REPORT: file,
    },
  });
  return status ?? 1;
}

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}
