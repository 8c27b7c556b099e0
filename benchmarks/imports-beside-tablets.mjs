/**
 * What tablets feel while ten farms, their own among them, bring in old spreadsheets of 5,000 rows each: the time a sync of
 * ten entries takes over HTTP, alone, while the files are sent and shown, and while they are brought in. API and worker
 * are processes of their own, as in use; a packaged PostgreSQL with its usual, durable settings.
 *
 *   node benchmarks/imports-beside-tablets.mjs [farms] [rows]      (needs `npm run build`; 10 and 5,000 unless said)
 */
import { fork } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import { setTimeout as sleep } from 'node:timers/promises';
import { createGrower } from '../libs/server/dist/index.js';
import { withFarmDatabase } from './farm-database.mjs';
import { signedIn } from './signed-in.mjs';

const FARMS = Number(process.argv[2] ?? 10);
const ROWS = Number(process.argv[3] ?? 5000);
const TABLETS = 4;
const SYNC_EVERY_MS = 500;
const ENTRIES = 10;
const ALONE_MS = 5000;
const TRIES = 20;
const AGAIN_AFTER_MS = 500;
const PASSWORD = 'only for this measurement';

const load = () => Math.round(loadavg()[0] * 10) / 10;

function startProcess(name, url) {
  const child = fork(new URL(`../apps/${name}/dist/main.js`, import.meta.url), [], {
    env: {
      ...process.env,
      DATABASE_URL: url,
      PORT: '0',
      JARFOLD_LOG_LEVEL: 'error',
      JARFOLD_REQUESTS_PER_MINUTE: '1000000',
    },
    execArgv: [],
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const ready = new Promise((resolve, reject) => {
    child.once('message', ({ address }) => resolve(address));
    child.once('exit', (code) => reject(new Error(`${name} ended with ${code}.`)));
  });
  const stop = async () => {
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGTERM');
    await ended;
  };
  return { ready, stop };
}

/** As a tablet does: what did not come back, or came too early, is sent again; the time counts on. */
async function fetchAgain(address, options) {
  for (let attempt = 1; ; attempt += 1) {
    try {
      const answer = await fetch(address, options);
      if (answer.status !== 503 || attempt === TRIES) return answer;
      await sleep(AGAIN_AFTER_MS);
    } catch (error) {
      if (attempt === TRIES) throw error;
    }
  }
}

/** A farm of one's own, signed in. */
async function makeFarm(platform, address, at) {
  const email = `owner${at}@example.org`;
  const named = { farmName: `Farm ${at}`, ownerName: 'Owner', timeZone: 'Europe/Vienna', email, password: PASSWORD };
  await createGrower(platform.platformDb, named);
  const { call } = await signedIn(address, { email, password: PASSWORD }, fetchAgain);
  return call;
}

/** A row to a jar in lots of fifty. */
function list(tag) {
  const rows = Array.from(
    { length: ROWS },
    (_, at) =>
      `${tag}X${at},${tag}K${Math.floor(at / 50)},Oyster,1,litre,${at % 10 ? 'ripe' : 'mouldy'},2026-05-01,${at % 10 ? '' : '2026-05-20'}`,
  );
  return `code,lot,strain,gen,size,state,made on,used on\n${rows.join('\n')}\n`;
}

async function sendAndAnswer(call, tag) {
  const sent = await call('POST', `/api/imports/old-sheets?name=${tag}.csv`, list(tag), {
    'content-type': 'application/octet-stream',
  });
  const table = sent.mapping['1.1'];
  const words = {
    ...table.words,
    strain: { oyster: { to: 'new-strain', code: 'OY9', name: 'Oyster', speciesKey: 'pleurotus-ostreatus' } },
    size: { litre: { to: 'new-size', name: 'Litre jar', volumeMl: 1000, container: 'jar', carrier: 'grain' } },
  };
  const path = `/api/imports/old-sheets/${sent.import.id}`;
  const told = await call('PUT', `${path}/mapping`, { tables: { 1.1: { ...table, words } } });
  if (told.questions.length > 0) throw new Error(JSON.stringify(told.questions[0]));
  return { id: told.import.id, seen: told.seen };
}

/** Tablets of one farm that shake jars and sync all the while. */
function tabletsAtWork(call, jars) {
  const times = [];
  let going = true;
  const one = async (number) => {
    const deviceId = randomUUID();
    let sequence = 0;
    await sleep((number * SYNC_EVERY_MS) / TABLETS);
    while (going) {
      const entries = Array.from({ length: ENTRIES }, () => ({
        ...{ id: randomUUID(), sequence: ++sequence, happenedAt: new Date().toISOString(), kind: 'shaken' },
        payload: { jarIds: [jars[sequence % jars.length]] },
      }));
      const began = performance.now();
      await call('POST', '/api/bench/entries', { deviceId, sentAt: new Date().toISOString(), entries });
      const took = performance.now() - began;
      times.push(took);
      await sleep(Math.max(0, SYNC_EVERY_MS - took));
    }
  };
  const working = Promise.all(Array.from({ length: TABLETS }, (_, number) => one(number)));
  return {
    /** Times since it was last asked. */
    taken: () => times.splice(0),
    stop: () => {
      going = false;
      return working;
    },
  };
}

const quantile = (times, share) => Math.round([...times].sort((a, b) => a - b)[Math.floor((times.length - 1) * share)]);
const summary = (times) => ({
  ...{ syncs: times.length, medianMs: quantile(times, 0.5), p95Ms: quantile(times, 0.95), worstMs: quantile(times, 1) },
});

await withFarmDatabase(async ({ url, platform }) => {
  const processes = [startProcess('api', url), startProcess('worker', url)];
  try {
    const [address] = await Promise.all(processes.map(({ ready }) => ready));
    const calls = [];
    for (let at = 0; at < FARMS; at++) calls.push(await makeFarm(platform, address, at));
    const own = calls[0];
    await own('POST', '/api/farm/first-start', {
      strain: { speciesKey: 'pleurotus-ostreatus' },
      ripeJars: 20,
      run: { day: new Date(Date.now() + 40 * 86_400_000).toISOString().slice(0, 10), substrateWetKg: 20 },
    });
    const jars = (await own('GET', '/api/stock/jars?limit=20')).items.map(({ id }) => id);
    const loadBefore = load();
    const tablets = tabletsAtWork(own, jars);
    await sleep(ALONE_MS);
    const alone = summary(tablets.taken());
    console.error(JSON.stringify({ loadBefore, alone }));
    const files = await Promise.all(calls.map((call, at) => sendAndAnswer(call, `F${at}`)));
    const whileShown = summary(tablets.taken());
    console.error(JSON.stringify({ whileShown }));
    const began = performance.now();
    await Promise.all(
      calls.map((call, at) =>
        call('POST', `/api/imports/old-sheets/${files[at].id}/bring-in`, {
          seen: files[at].seen,
          withoutRefused: false,
        }),
      ),
    );
    const isIn = async (call) => (await call('GET', '/api/imports')).items[0].state === 'applied';
    for (const call of calls) while (!(await isIn(call))) await sleep(500);
    const broughtInS = Math.round((performance.now() - began) / 1000);
    const whileBroughtIn = summary(tablets.taken());
    await tablets.stop();
    const report = {
      ...{ farms: FARMS, rowsEach: ROWS, tablets: TABLETS, entriesPerSync: ENTRIES },
      processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
      ...{ loadBefore, alone, whileShown, whileBroughtIn, broughtInS },
    };
    console.log(JSON.stringify(report, null, 2));
    writeFileSync(
      new URL('results/imports-beside-tablets.json', import.meta.url),
      `${JSON.stringify(report, null, 2)}\n`,
    );
  } finally {
    for (const { stop } of processes) await stop();
  }
});
