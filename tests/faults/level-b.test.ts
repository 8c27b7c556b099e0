/**
 * The same promise with real processes: API, worker and PostgreSQL, each killed with kill -9 while tablets send through
 * a TCP proxy that cuts and delays. Long: it runs by command only, `node tests/faults/run.mjs --level B`.
 */
import { appendFileSync } from 'node:fs';
import { request } from 'node:http';
import { setTimeout as sleep } from 'node:timers/promises';
import { seededRandom } from '@jarfold/domain';
import { BenchService } from '@jarfold/server';
import { systemIds } from '@jarfold/server/platform';
import { expect, it, jest } from '@jest/globals';
import { addBenchLists } from '../support/bench-farm.js';
import { faultyProxy } from './faulty-proxy.js';
import { breachesOf } from './invariants.js';
import { type Part, RealFarm } from './real-farm.js';
import { catchFetch, SimulatedTablet } from './simulated-tablet.js';
import type { Answered, Sent } from './unreliable-network.js';

jest.setTimeout(3_600_000);

const asked = process.env.JARFOLD_FAULT_LEVEL === 'B';
const seed = Number(/^(\d+)/.exec(process.env.JARFOLD_FAULT_SEEDS ?? '1')?.[1]);
const KILLS_OF_EACH = Number(process.env.JARFOLD_FAULT_KILLS ?? 10);
const TABLETS = 6;
const ENTRIES = 300;
const PATIENCE_MS = 10_000;
const PIN = '493017';
const PARTS: readonly Part[] = ['api', 'worker', 'postgres'];

const time = {
  get nowMs() {
    return Date.now();
  },
  after: (delayMs: number, run: () => void | Promise<void>) => {
    // Time is real here, so a tablet waits at most two seconds where a farm's would wait a minute.
    const timer = setTimeout(() => void run(), Math.min(delayMs, 2_000));
    return () => clearTimeout(timer);
  },
};

function ask(port: number, { method, path, headers, body }: Sent): Promise<Answered> {
  return new Promise((resolve, reject) => {
    const sent = request(
      { host: '127.0.0.1', port, method, path, headers: { ...headers, connection: 'close' }, timeout: PATIENCE_MS },
      (response) => {
        let text = '';
        response.setEncoding('utf8').on('data', (part) => {
          text += part;
        });
        response.on('error', reject);
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers as Record<string, string>, text }),
        );
      },
    );
    sent.on('timeout', () => sent.destroy(new Error('It took too long.')));
    sent.on('error', reject);
    sent.end(body);
  });
}

(asked ? it : it.skip)('nothing is lost and nothing doubled when every part is killed again and again', async () => {
  const random = seededRandom(seed);
  const farm = new RealFarm();
  await farm.start();
  const proxy = await faultyProxy(() => farm.apiPort, seededRandom(seed + 1));
  const restore = catchFetch();
  try {
    let cookie = '';
    const call = async (method: string, path: string, given?: unknown, extra: Record<string, string> = {}) => {
      const body = given === undefined ? undefined : JSON.stringify(given);
      const headers = {
        cookie,
        ...(body ? { 'content-type': 'application/json', 'content-length': String(Buffer.byteLength(body)) } : {}),
        ...extra,
      };
      const answer = await ask(farm.apiPort, { method, path, headers, body });
      return {
        status: answer.status,
        headers: answer.headers,
        text: answer.text,
        body: answer.text ? JSON.parse(answer.text) : undefined,
      };
    };
    const cookieOf = (answer: { headers: Readonly<Record<string, unknown>> }) =>
      String(answer.headers['set-cookie']).split(';')[0] ?? '';
    const owner = { email: 'owner@example.org', password: 'kettle lantern moss' };
    const made = (await call('POST', '/api/growers', { farmName: 'Killed farm', timeZone: 'Europe/Vienna', ...owner }))
      .body;
    cookie = cookieOf(await call('POST', '/api/session', owner));
    const lists = await addBenchLists({ growerDb: farm.platform.growerDb }, made.growerId);
    const people = [(await call('POST', '/api/staff', { name: 'Lead', role: 'lead', pin: PIN })).body.staffId];
    const tablets: SimulatedTablet[] = [];
    for (let at = 0; at < TABLETS; at += 1) {
      const { code } = (await call('POST', '/api/devices/enrolments', { name: `Tablet ${at}` })).body;
      const enrolled = await call('POST', '/api/device', { code });
      const deviceCookie = cookieOf(enrolled);
      const tablet = new SimulatedTablet({
        ...{
          name: `tablet ${at}`,
          growerId: made.growerId,
          deviceId: enrolled.body.deviceId,
          deviceCookie,
          people,
          farm: lists,
          time,
        },
        random: seededRandom(1 + random.whole(2 ** 31)),
        clockWrongMs: 0,
        network: { send: (sent) => ask(proxy.port, sent) },
        signIn: async (staffId) =>
          cookieOf(await call('POST', '/api/device/session', { staffId, pin: PIN }, { cookie: deviceCookie })),
      });
      await tablet.begin();
      tablets.push(tablet);
    }
    const working = tablets.map(async (tablet) => {
      while (tablet.attempted.length < ENTRIES) {
        await tablet.work();
        await sleep(20 + tablet.options.random.whole(200));
      }
    });
    const killing = (async () => {
      while (PARTS.some((part) => farm.kills[part] < KILLS_OF_EACH)) {
        await sleep(500 + random.whole(1500));
        const left = PARTS.filter((part) => farm.kills[part] < KILLS_OF_EACH);
        await farm.killAndRestart(left[random.whole(left.length)] ?? 'api');
      }
    })();
    await Promise.all([...working, killing]);
    proxy.faultsOn = false;
    const quietFromMs = Date.now();
    const head = async () =>
      Number((await farm.sql<{ position: string }>('SELECT position FROM bench_counter'))[0]?.position);
    const atRest = async () => {
      const position = await head();
      return tablets.every(({ core }) => core.status().unsent === 0 && core.status().cursor === position);
    };
    while (!(await atRest())) {
      if (Date.now() - quietFromMs > 180_000) break;
      for (const tablet of tablets) if (tablet.core.status().needsSignIn) await tablet.signIn();
      await sleep(300);
    }
    const drainMin = (Date.now() - quietFromMs) / 60_000;
    for (const tablet of tablets) tablet.lookBack();
    const bench = new BenchService(farm.platform.growerDb, { now: () => new Date() }, systemIds);
    const world = { growerId: made.growerId, staffId: made.ownerStaffId, call };
    const breaches = await breachesOf({ world, tablets, deskEntries: new Set() }, farm, bench);
    for (const { core } of tablets) core.close();
    const count = (of: (tablet: SimulatedTablet) => number) => tablets.reduce((total, tablet) => total + of(tablet), 0);
    const report = {
      ...{ seed, kills: farm.kills, cuts: proxy.cuts(), drainMin, breaches },
      attempted: count(({ attempted }) => attempted.length),
      acked: count(({ acked }) => acked.size),
      refused: count(({ core }) => core.own().filter(({ state }) => state === 'refused').length),
      lost: breaches.filter((breach) => /^I[13] /.test(breach)).length,
      doubled: breaches.filter((breach) => breach.startsWith('I2 ')).length,
      ...{ settled: 0, requests: 0, faults: proxy.cuts(), restarts: 0, signIns: count(({ signIns }) => signIns) },
    };
    if (process.env.JARFOLD_FAULT_REPORT)
      appendFileSync(process.env.JARFOLD_FAULT_REPORT, `${JSON.stringify(report)}\n`);
    expect(breaches).toEqual([]);
    expect(report.acked).toBe(report.attempted);
  } finally {
    restore();
    await proxy.close();
    await farm.close();
  }
});
