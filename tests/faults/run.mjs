/**
 * `npm run -s faults -- --level A --seeds 1..20 [--add] [--json]`: tries the promise that nothing is lost and nothing
 * doubled. A runs in one process with virtual time, B kills API, worker and PostgreSQL, C kills browsers. What came of it
 * is printed and, after every seed, kept with its day in benchmarks/results/faults-a.json (b, c), so that a run that is
 * cut short still tells how far it came. `--add` adds to what that file holds, for seeds that are run in parts.
 */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { FaultResult } from './fault-result.mjs';

const { values } = parseArgs({
  options: {
    level: { type: 'string', default: 'A' },
    seeds: { type: 'string', default: '1..5' },
    add: { type: 'boolean', default: false },
    json: { type: 'boolean', default: false },
  },
});
if (!/^\d+\.\.\d+$/.test(values.seeds)) fail('Say which seeds as FIRST..LAST, such as --seeds 1..20.');
const [first, last] = values.seeds.split('..').map(Number);
const root = fileURLToPath(new URL('../..', import.meta.url));
const jest = join(root, 'node_modules', 'jest', 'bin', 'jest.js');
const byJest = (project, test) => [jest, '--selectProjects', project, '-i', '--', test];
const LEVELS = {
  // A program of its own, which needs no test around it.
  A: { parts: [values.seeds], args: ['--import', './tests/runner/source-loader.mjs', 'tests/faults/run-level-a.ts'] },
  // These start and kill real processes: one seed per process, so that each begins on a clean machine.
  B: { parts: oneByOne(), args: byJest('integration', 'faults/level-b') },
  C: { parts: oneByOne(), args: byJest('browser', 'browser/bench-killed') },
};
const level = LEVELS[values.level];
if (!level) fail(`There is no level ${values.level}: A has virtual time, B kills server processes, C kills browsers.`);

const { stdout: head } = spawnSync('git', ['rev-parse', '--short', 'HEAD'], { cwd: root, encoding: 'utf8' });
const result = new FaultResult({
  file: join(root, 'benchmarks', 'results', `faults-${values.level.toLowerCase()}.json`),
  level: values.level,
  commit: head?.trim() || 'unknown',
  add: values.add,
});
const codes = [];
for (const seeds of level.parts) codes.push(await runSeeds(seeds));
process.stdout.write(`${JSON.stringify(result.json, null, values.json ? 0 : 2)}\n`);
process.exit(codes.every((code) => code === 0) && result.clean ? 0 : 1);

/** Level A tells of each seed when it is done; a test of the others writes its one line to a file. */
async function runSeeds(seeds) {
  const folder = mkdtempSync(join(tmpdir(), 'jarfold-faults-'));
  const file = join(folder, 'report.jsonl');
  const child = spawn(process.execPath, [...level.args, ...(values.level === 'A' ? [seeds] : [])], {
    cwd: root,
    stdio: ['ignore', 'pipe', values.json ? 'ignore' : 'inherit'],
    env: {
      ...process.env,
      JARFOLD_LOG_LEVEL: 'error',
      JARFOLD_FAULT_LEVEL: values.level,
      JARFOLD_FAULT_SEEDS: seeds,
      JARFOLD_FAULT_REPORT: file,
    },
  });
  const ended = new Promise((resolve) => child.on('close', (status) => resolve(status ?? 1)));
  for await (const line of createInterface({ input: child.stdout })) if (line.startsWith('{"seed"')) told(line);
  const code = await ended;
  if (existsSync(file)) told(readFileSync(file, 'utf8').trim());
  rmSync(folder, { recursive: true });
  return code;
}

function told(line) {
  const report = JSON.parse(line);
  result.add(report);
  if (values.json) return;
  const { seed, breaches, attempted = 0 } = report;
  const found = breaches.length === 0 ? 'nothing lost, nothing doubled' : breaches.slice(0, 3).join('; ');
  process.stderr.write(`${new Date().toISOString()} seed ${seed}: ${attempted} entries, ${found}\n`);
}

function oneByOne() {
  return Array.from({ length: last - first + 1 }, (_, at) => `${first + at}..${first + at}`);
}

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}
