/**
 * How long somebody at the plan screen waits for an answer to "what if", and how much of that is the server's: from the
 * press of the button in Chromium until both plans stand side by side. On the invented farm with a year of history, some
 * 300 jars, four strains and twelve weeks of runs, as `npm start -- --demo` makes it; API and worker are the real ones.
 *
 *   node benchmarks/what-if-screen.mjs [--rounds 10] [--port 3190]       (needs `npm run build` and Chromium)
 *
 * A glance at the plan that stands is told as the reference of the machine as it is: the same screen reading that plan
 * (GET /api/plan/review). Processor time of the API is told too, which other work on the machine lengthens less. Writes
 * benchmarks/results/what-if-screen.json.
 */
import { spawn } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';
import { atRank } from './at-rank.mjs';
import { signedIn } from './signed-in.mjs';

const { values: options } = parseArgs({
  options: { rounds: { type: 'string', default: '10' }, port: { type: 'string', default: '3190' } },
});
const ROUNDS = Number(options.rounds);
const ADDRESS = `http://localhost:${options.port}`;
const ROOT = fileURLToPath(new URL('..', import.meta.url));
const SIGN_IN = /Sign in to the demo with (\S+) and the password (\S+)/;

/** Starts the demo on a data folder of its own; `stop` ends it as Ctrl-C does. */
async function startDemo(dataDir) {
  const child = spawn(process.execPath, ['scripts/start.mjs', '--demo'], {
    cwd: ROOT,
    env: { ...process.env, JARFOLD_DATA: dataDir, PORT: options.port },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let said = '';
  await new Promise((resolve, reject) => {
    child.stdout.on('data', (text) => {
      said += text;
      if (said.includes('Jarfold is ready')) resolve();
    });
    child.once('exit', (code) => reject(new Error(`The demo ended with ${code} before it was ready:\n${said}`)));
  });
  const [, email, password] = SIGN_IN.exec(said) ?? [];
  const stop = () =>
    new Promise((resolve) => {
      child.once('exit', resolve);
      child.kill('SIGINT');
    });
  return { email, password, stop, apiPid: await apiUnder(child.pid) };
}

/** The API's process among those the launcher started. */
async function apiUnder(launcherPid) {
  for (const pid of (await readdir('/proc')).filter((name) => /^\d+$/.test(name))) {
    const command = await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => '');
    if (!command.includes('apps/api/dist/main.js')) continue;
    let parent = Number(pid);
    while (parent > 1 && parent !== launcherPid) parent = Number((await statOf(parent))[1]);
    if (parent === launcherPid) return Number(pid);
  }
  throw new Error('The API is no process under the launcher.');
}

/** Fields of a process from its state on (proc(5)). */
async function statOf(pid) {
  const stat = await readFile(`/proc/${pid}/stat`, 'utf8');
  return stat.slice(stat.lastIndexOf(')') + 2).split(' ');
}

/** Processor time of a process so far, its threads included; a tick is a hundredth of a second. */
async function cpuMs(pid) {
  const fields = await statOf(pid);
  return 10 * (Number(fields[11]) + Number(fields[12]));
}

const dayAhead = (days) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

/** What is asked, each as a person would choose it on the screen. */
function questions(page, { runId, lot, person }) {
  const fill = (label, value) => page.getByLabel(label).fill(value);
  return {
    'move-run': async () => {
      await page.getByLabel('Run to move').selectOption(runId);
      await fill('New day', dayAhead(18));
    },
    'lose-lot': () => fill('Lot that is lost', lot),
    'more-cycles': () => fill('More steriliser cycles', '1'),
    'no-bench': async () => {
      await fill('Away from', dayAhead(7));
      await fill('Away until', dayAhead(13));
    },
    'person-away': async () => {
      await page.getByLabel('Who is away').selectOption(person);
      await fill('Away from', dayAhead(7));
      await fill('Away until', dayAhead(13));
    },
    'fewer-hands': () => fill('Fewer jars per bench day', '40'),
  };
}

function told(times) {
  const sorted = [...times].sort((one, other) => one - other);
  return {
    median: Math.round(atRank(sorted, 0.5)),
    p90: Math.round(atRank(sorted, 0.9)),
    worst: Math.round(sorted.at(-1)),
  };
}

/** One answer as it is waited for: until its tables are painted, and until the server had answered. */
async function ask(page) {
  await page.evaluate(() => {
    performance.clearResourceTimings();
    for (const beside of document.querySelectorAll('.plan__beside')) beside.dataset.old = 'yes';
  });
  const started = performance.now();
  await page.getByRole('button', { name: 'Show side by side' }).click();
  await page.waitForFunction(() => document.querySelector('.plan__beside:not([data-old])'), null, { polling: 'raf' });
  const screenMs = performance.now() - started;
  const serverMs = await page.evaluate(
    () => performance.getEntriesByType('resource').findLast(({ name }) => name.endsWith('/what-if')).duration,
  );
  return { screenMs, serverMs };
}

async function measured(page, apiPid, fillIn) {
  const [screen, server, cpu] = [[], [], []];
  for (let round = 0; round <= ROUNDS; round += 1) {
    // The form is left and filled in anew, so that an answer on the screen can only be the one that was asked for.
    await page.goto(`${ADDRESS}/plan`);
    await page.getByRole('heading', { name: 'What if' }).waitFor();
    await fillIn();
    const before = await cpuMs(apiPid);
    const { screenMs, serverMs } = await ask(page);
    const used = (await cpuMs(apiPid)) - before;
    // The first of a kind warms the planner's code; a person asks on.
    if (round > 0) {
      screen.push(screenMs);
      server.push(serverMs);
      cpu.push(used);
    }
  }
  return { screenMs: told(screen), serverMs: told(server), serverCpuMs: told(cpu) };
}

async function reviewMs(call) {
  const times = [];
  for (let round = 0; round <= ROUNDS; round += 1) {
    const started = performance.now();
    await call('GET', '/api/plan/review');
    if (round > 0) times.push(performance.now() - started);
  }
  return told(times);
}

/** Two people share the bench, so that one of them can be supposed away. */
async function sayMinutes(call) {
  const { items } = await call('GET', '/api/staff');
  const hands = items.filter(({ role }) => role === 'hand').slice(0, 2);
  for (const { staffId, revision } of hands)
    await call(
      'PUT',
      `/api/staff/${staffId}/bench-time`,
      { benchMinutes: 150, away: [] },
      { 'if-match': `"${revision}"` },
    );
  return hands[0].staffId;
}

const dataDir = await mkdtemp(join(tmpdir(), 'jarfold-benchmark-'));
const demo = await startDemo(dataDir);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'],
});
try {
  const { cookie, call } = await signedIn(ADDRESS, demo);
  const person = await sayMinutes(call);
  await call('POST', '/api/plan');
  const { items: runs } = await call('GET', '/api/runs?state=planned');
  const { items: jars } = await call('GET', '/api/stock/jars?state=chilled&limit=1');
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, locale: 'en-GB' });
  const [name, value] = cookie.split(/=(.*)/s);
  await context.addCookies([{ name, value, url: ADDRESS }]);
  const page = await context.newPage();
  const asked = questions(page, { runId: runs[4].id, lot: jars[0].code.split('/')[0], person });
  const loadBefore = loadavg()[0];
  const reference = await reviewMs(call);
  const answers = {};
  for (const [kind, fillIn] of Object.entries(asked)) {
    answers[kind] = await measured(page, demo.apiPid, async () => {
      await page.getByLabel('What if', { exact: true }).selectOption(kind);
      await fillIn();
    });
    answers[kind].medianToReview = Math.round((10 * answers[kind].screenMs.median) / reference.median) / 10;
    console.log(kind, JSON.stringify(answers[kind]));
  }
  const report = {
    what: 'milliseconds from the press of the button until both plans stand side by side, of that the answer of the server, and processor time of the API',
    farm: { runs: runs.length, strains: new Set(runs.flatMap(({ strains }) => strains.map(({ id }) => id))).size },
    rounds: ROUNDS,
    processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
    loadAverage: { before: loadBefore, after: loadavg()[0] },
    planReviewMs: reference,
    answers,
  };
  await writeFile(new URL('results/what-if-screen.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
  console.log(JSON.stringify(report, null, 2));
} finally {
  await browser.close();
  await demo.stop();
  await rm(dataDir, { recursive: true, force: true });
}
