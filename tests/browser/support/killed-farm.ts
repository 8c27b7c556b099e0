import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { type SeededRandom, seededRandom } from '@jarfold/domain';
import { BenchService, createGrower } from '@jarfold/server';
import { systemIds } from '@jarfold/server/platform';
import { type FaultyProxy, faultyProxy } from '../../faults/faulty-proxy.js';
import { breachesOf } from '../../faults/invariants.js';
import { type Counts, countsOf, sum } from '../../faults/tablet-at-rest.js';
import { enrolTablet } from './bench-person.js';
import { someWork } from './bench-work.js';
import { callsOf, type FarmCalls } from './farm-calls.js';
import { type Gate, openGate } from './gate.js';
import { KilledTablet } from './killed-tablet.js';
import { dayFromToday } from './people.js';
import type { ServedFarm } from './served-farm.js';

const PERSON = { name: 'Ivo', pin: '402917' };
/** Two tablets of one farm, so that they clash over its jars, and one of another, which may see nothing of it. */
const FARMS = [
  { name: 'Upper mill', tablets: 2 },
  { name: 'Lower mill', tablets: 1 },
] as const;
/** A tablet that waits longer before it has sent and seen everything is stuck. */
const DRAIN_LIMIT_MS = 180_000;

interface Farm {
  readonly growerId: string;
  readonly staffId: string;
  readonly calls: FarmCalls;
  readonly tablets: readonly Wired[];
  readonly deskEntries: ReadonlySet<string>;
}

interface Wired {
  readonly tablet: KilledTablet;
  readonly proxy: FaultyProxy;
  readonly gate: Gate;
}

export interface KilledReport extends Counts {
  readonly seed: number;
  readonly kills: { readonly browser: number };
  readonly faults: number;
  readonly restarts: number;
  readonly signIns: number;
  readonly drainMin: number;
}

/**
 * Three browsers on profiles of their own work at the real pages of the real server, over wires that cut, delay and go
 * dead, and are killed with all their processes: in the middle of anything, and within a tenth of a second after the
 * screen said "saved". Then the wires are well, and everything must come to rest. What is done and when it is killed
 * comes from the seed; how fast the machine is does not.
 */
export async function killBrowsers(
  seed: number,
  size: { readonly stepsPerTablet: number },
  {
    served,
    plant = null,
    drainLimitMs = DRAIN_LIMIT_MS,
  }: { readonly served: ServedFarm; readonly plant?: string | null; readonly drainLimitMs?: number },
): Promise<KilledReport> {
  const random = seededRandom(seed);
  const folder = await mkdtemp(join(tmpdir(), 'jarfold-level-c-'));
  const wired: Wired[] = [];
  try {
    const farms: Farm[] = [];
    for (const { name, tablets } of FARMS)
      farms.push(await makeFarm(served, { folder, wired }, { name: `${name} ${seed}`, tablets, random, plant }));
    await Promise.all(wired.map((one) => live(one, size.stepsPerTablet)));
    const quietFromMs = Date.now();
    for (const farm of farms) await comeToRest(served, farm, drainLimitMs);
    const drainMin = (Date.now() - quietFromMs) / 60_000;
    return reportOf(seed, drainMin, farms, await allBreaches(served, farms));
  } finally {
    for (const { tablet, gate, proxy } of wired) {
      await tablet.close().catch(() => undefined);
      await gate.cut();
      await proxy.close();
    }
    await rm(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}

async function makeFarm(
  served: ServedFarm,
  all: { readonly folder: string; readonly wired: Wired[] },
  of: {
    readonly name: string;
    readonly tablets: number;
    readonly random: SeededRandom;
    readonly plant: string | null;
  },
): Promise<Farm> {
  const account = {
    email: `${of.name.replaceAll(' ', '-').toLowerCase()}@example.org`,
    password: 'kettle lantern moss barrel',
  };
  const { growerId, ownerStaffId } = await createGrower(served.database.platformDb, {
    ...{ farmName: of.name, timeZone: 'Europe/Vienna', ownerName: 'Mara', ...account },
  });
  const calls = await callsOf(served.address, account);
  await calls.call('POST', '/api/farm/first-start', {
    strain: { speciesKey: 'pleurotus-ostreatus', name: 'Grey oyster' },
    ripeJars: 20,
    run: { day: dayFromToday(6), substrateWetKg: 60 },
  });
  await calls.call('POST', '/api/staff', { ...PERSON, role: 'hand' });
  const tablets: Wired[] = [];
  for (let at = 0; at < of.tablets; at += 1) {
    tablets.push(await makeTablet(served, all, { growerId, calls, of, name: `${of.name}, tablet ${at}` }));
  }
  const made = await served.database.sql<{ id: string }>('SELECT id::text FROM bench_entry WHERE grower_id = $1', [
    growerId,
  ]);
  return { growerId, staffId: ownerStaffId, calls, tablets, deskEntries: new Set(made.map(({ id }) => id)) };
}

async function makeTablet(
  served: ServedFarm,
  { folder, wired }: { readonly folder: string; readonly wired: Wired[] },
  {
    growerId,
    calls,
    of,
    name,
  }: {
    readonly growerId: string;
    readonly calls: FarmCalls;
    readonly of: { readonly random: SeededRandom; readonly plant: string | null };
    readonly name: string;
  },
): Promise<Wired> {
  const port = Number(new URL(served.address).port);
  const proxy = await faultyProxy(() => port, seededRandom(1 + of.random.whole(2 ** 31)));
  proxy.faultsOn = false;
  const gate = await openGate(proxy.port);
  const tablet = new KilledTablet({
    ...{ name, growerId, profile: join(folder, name.replaceAll(/\W+/g, '-')), plant: of.plant, person: PERSON },
    origin: `http://127.0.0.1:${gate.port}`,
    random: seededRandom(1 + of.random.whole(2 ** 31)),
  });
  const one = { tablet, proxy, gate };
  wired.push(one);
  await tablet.start();
  await enrolTablet(tablet.page, tablet.options.origin, calls, name);
  await tablet.comeIn();
  await tablet.page.getByRole('button', { name: 'All sent' }).waitFor();
  const device = await tablet.page.evaluate(() => fetch('/api/device').then((answer) => answer.json()));
  tablet.deviceId = device.deviceId;
  // The pages must be on the tablet before it is without a network, and the cookies on its disk before it is killed.
  await tablet.page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await tablet.close();
  return one;
}

/** A tablet's day: work, a network that comes and goes, and the battery pulled again and again. */
async function live({ tablet, gate, proxy }: Wired, steps: number): Promise<void> {
  const { random } = tablet.options;
  proxy.faultsOn = true;
  await tablet.comeBack();
  for (let step = 0; step < steps; step += 1) {
    const drawn = random.uniform();
    if (drawn < 0.2) await gate.cut();
    else if (drawn < 0.5) await gate.mend();
    const fate = random.uniform();
    if (fate < 0.35) tablet.killAfterSaved(random.whole(100));
    const pulled = fate > 0.85 ? setTimeout(() => void tablet.kill(), random.whole(3_000)) : undefined;
    await tablet.survive(() => someWork(tablet));
    // One that is to be killed after "saved" is, whether or not the page lived to say so.
    if (fate < 0.35 && !tablet.isGone) await sleep(100);
    if (fate < 0.35 || pulled) {
      clearTimeout(pulled);
      await tablet.kill();
    }
    if (tablet.isGone) await tablet.comeBack();
  }
}

/** Nothing unsent, and every tablet has seen all of its farm's log. */
async function comeToRest(served: ServedFarm, { growerId, tablets }: Farm, limitMs: number): Promise<void> {
  for (const { proxy, gate, tablet } of tablets) {
    proxy.faultsOn = false;
    await gate.mend();
    await tablet.goTo('/bench');
  }
  const endMs = Date.now() + limitMs;
  for (;;) {
    let waiting = 0;
    for (const { tablet } of tablets) {
      await tablet.signInIfAsked();
      const { own, cursor } = await tablet.look();
      const [counter] = await served.database.sql<{ position: string }>(
        'SELECT position FROM bench_counter WHERE grower_id = $1',
        [growerId],
      );
      if (cursor !== Number(counter?.position) || own.some(({ state }) => state === 'unsent')) waiting += 1;
    }
    if (waiting === 0 || Date.now() > endMs) return;
    await sleep(500);
  }
}

async function allBreaches(served: ServedFarm, farms: readonly Farm[]): Promise<string[]> {
  const bench = new BenchService(served.database.growerDb, { now: () => new Date() }, systemIds);
  const found: string[] = [];
  for (const { growerId, staffId, calls, tablets, deskEntries } of farms) {
    const world = {
      ...{ growerId, staffId },
      call: async (method: string, path: string) => ({ body: await calls.call(method, path) }),
    };
    const resting = { world, deskEntries, tablets: tablets.map(({ tablet }) => tablet.atRest()) };
    found.push(...(await breachesOf(resting, served.database, bench)));
  }
  return found;
}

function reportOf(seed: number, drainMin: number, farms: readonly Farm[], breaches: readonly string[]): KilledReport {
  const wired = farms.flatMap(({ tablets }) => tablets);
  const resting = wired.map(({ tablet }) => tablet.atRest());
  const kills = sum(wired, ({ tablet }) => tablet.kills);
  return {
    seed,
    ...countsOf(resting, breaches),
    kills: { browser: kills },
    faults: sum(wired, ({ proxy }) => proxy.cuts()),
    restarts: kills,
    signIns: sum(wired, ({ tablet }) => tablet.signIns),
    drainMin,
  };
}
