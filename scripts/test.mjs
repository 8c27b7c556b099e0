/**
 * `npm test [-- PATTERN …]`: builds what is out of date, then runs every test in the order unit, reference,
 * integration, browser, and closes with the true counts. `--only unit,reference` runs some of the four.
 */
import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from './build.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const SLOW_FILE_SECONDS = 10;
const ALL = ['unit', 'reference', 'integration', 'browser'];

/** Runs one size of test; resolves to its counts. A run that died without a report counts as one failure. */
function runProject(project, patterns) {
  const report = join(root, 'tmp', 'test-reports', `${project}.json`);
  rmSync(report, { force: true });
  const jest = join(root, 'node_modules', 'jest', 'bin', 'jest.js');
  const args = ['--no-warnings', jest, '--selectProjects', project, '--json', `--outputFile=${report}`];
  args.push('--maxWorkers=2', '--passWithNoTests', ...patterns);
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] });
    child.on('close', (code) => {
      try {
        const result = JSON.parse(readFileSync(report, 'utf8'));
        const broken = result.numRuntimeErrorTestSuites;
        const failed = result.numFailedTests + broken;
        saySlowest(result.testResults);
        saySkipped(result.testResults);
        resolve({
          passed: result.numPassedTests,
          failed: code !== 0 && failed === 0 ? 1 : failed,
          skipped: result.numPendingTests + result.numTodoTests,
        });
      } catch {
        console.error(`The ${project} tests ended (code ${code}) without a report.`);
        resolve({ passed: 0, failed: 1, skipped: 0 });
      }
    });
  });
}

/** Where the time goes, so that whoever adds a test sees what it costs. */
function saySlowest(files) {
  const timed = files.map(({ name, startTime, endTime }) => ({ name, seconds: (endTime - startTime) / 1000 }));
  const slow = timed.filter(({ seconds }) => seconds >= SLOW_FILE_SECONDS).sort((a, b) => b.seconds - a.seconds);
  for (const { name, seconds } of slow.slice(0, 8)) console.log(`  ${seconds.toFixed(0)} s ${relative(root, name)}`);
}

/** What was not run is named, so that a short run is not taken for a whole one. */
function saySkipped(files) {
  for (const { name, assertionResults } of files)
    for (const { status, fullName } of assertionResults)
      if (status === 'pending' || status === 'todo') console.log(`  skipped: ${fullName} (${relative(root, name)})`);
}

export async function runTests(args) {
  const only = args.indexOf('--only');
  const projects = only < 0 ? ALL : (args[only + 1] ?? '').split(',').filter(Boolean);
  const unknown = projects.filter((name) => !ALL.includes(name));
  if (unknown.length > 0) throw new Error(`Unknown tests "${unknown.join(', ')}": choose from ${ALL.join(', ')}.`);
  const patterns = args.filter((_, at) => only < 0 || (at !== only && at !== only + 1));
  await build();
  mkdirSync(join(root, 'tmp', 'test-reports'), { recursive: true });
  const total = { passed: 0, failed: 0, skipped: 0 };
  for (const project of projects) {
    const started = Date.now();
    const counts = await runProject(project, patterns);
    for (const key of Object.keys(total)) total[key] += counts[key];
    const seconds = ((Date.now() - started) / 1000).toFixed(0);
    console.log(
      `${project}: ${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped in ${seconds} s`,
    );
  }
  if (total.passed + total.failed === 0) total.failed = 1; // no test executed is not a success
  return total;
}

/** The closing line: alone on its line, from the real counts; what was skipped is named above it, size by size. */
export function closingLine({ passed, failed }) {
  return `${passed} passed, ${failed} failed`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    const total = await runTests(process.argv.slice(2));
    console.log(closingLine(total));
    process.exit(total.failed === 0 ? 0 : 1);
  } catch (error) {
    console.error(error.message);
    process.exit(1);
  }
}
