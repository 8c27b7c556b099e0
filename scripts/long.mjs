/**
 * `npm run long [-- NAME …]`: what is worth knowing and takes too long for every change. Each writes its dated result
 * under benchmarks/results/; a seed that fails there becomes a case of the ordinary tests.
 * Without a name all run one after another (hours on two processors); `npm run long -- --list` names them.
 */
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from './build.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/** Name, what it answers, the script with its arguments, and what it is told by the environment. */
const LONG = [
  [
    'faults-a',
    'Is anything lost or doubled over 500 seeds in virtual time?',
    ['tests/faults/run.mjs', '--level', 'A', '--seeds', '1..500'],
  ],
  [
    'faults-b',
    'And when API, worker and database are killed under the tablets?',
    ['tests/faults/run.mjs', '--level', 'B', '--seeds', '1..3'],
  ],
  [
    'faults-c',
    'And when browsers are killed, just after they said "saved" too?',
    ['tests/faults/run.mjs', '--level', 'C', '--seeds', '1..3'],
  ],
  [
    'junk',
    'Does any nonsense at any value of any request do harm?',
    ['scripts/test.mjs', '--only', 'integration', 'api-junk'],
    { JARFOLD_ALL_JUNK: '1' },
  ],
  ['season', 'Is a farm better off with the plan than with a rule of thumb?', ['benchmarks/season.mjs']],
  ['attribution-power', 'How rare a cause is still found?', ['benchmarks/attribution-power.mjs']],
  ['watch', 'How soon is a planted fault found, and how often is a flag false?', ['benchmarks/watch.mjs']],
  ['planner-reference', 'How good are plans beside ten-minute integer solves?', ['benchmarks/planner-reference.mjs']],
];

function runOne([name, question, command, env = {}]) {
  console.log(`\n${name}: ${question}`);
  const { status } = spawnSync(process.execPath, command, {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...env },
  });
  if (status !== 0) console.error(`${name} ended with code ${status}.`);
  return status === 0;
}

const wanted = process.argv.slice(2);
if (wanted.includes('--list')) {
  for (const [name, question] of LONG) console.log(`${name.padEnd(18)} ${question}`);
  process.exit(0);
}
const unknown = wanted.filter((name) => !LONG.some(([known]) => known === name));
if (unknown.length > 0) {
  console.error(`Nothing long is called "${unknown.join(', ')}": see npm run long -- --list.`);
  process.exit(1);
}
await build();
const results = LONG.filter(([name]) => wanted.length === 0 || wanted.includes(name)).map(runOne);
process.exit(results.every(Boolean) ? 0 : 1);
