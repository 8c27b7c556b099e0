import { type SeededRandom, seededRandom } from '@jarfold/domain';
import { BenchService } from '@jarfold/server';
import { systemIds } from '@jarfold/server/platform';
import { hash } from '@node-rs/argon2';
import { cookieOf, startApi, type TestApi, type World } from '../support/api-app.js';
import { addBenchLists } from '../support/bench-farm.js';
import type { TestDatabase } from '../support/test-database.js';
import type { AtHand } from './bench-hands.js';
import { breachesOf, type RestingFarm } from './invariants.js';
import type { PlantedBug } from './planted-bugs.js';
import { seededUuid } from './seeded-uuid.js';
import { catchFetch, SimulatedTablet } from './simulated-tablet.js';
import { type Counts, countsOf, sum } from './tablet-at-rest.js';
import { type Answered, type Deliver, type Sent, UnreliableNetwork } from './unreliable-network.js';
import { VirtualTime } from './virtual-time.js';

export interface Size {
  readonly growers: number;
  readonly tablets: number;
  readonly entriesPerTablet: number;
  /** Longest that everything may take to come to rest once the network is well. */
  readonly quietMs: number;
}

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;

/** A whole run: twelve tablets of two growers, two hundred entries each. */
export const FULL_SIZE: Size = { growers: 2, tablets: 12, entriesPerTablet: 200, quietMs: 2 * HOUR_MS };

/** Enough for a planted bug to show, and for none to show where none is planted. */
export const CONTROL_SIZE: Size = { growers: 2, tablets: 4, entriesPerTablet: 40, quietMs: HOUR_MS / 2 };

export interface FaultReport extends Counts {
  readonly seed: number;
  readonly settled: number;
  readonly requests: number;
  readonly faults: number;
  readonly restarts: number;
  readonly signIns: number;
  /** Minutes of virtual time from the end of all faults to the last tablet with nothing unsent and nothing unseen. */
  readonly drainMin: number;
}

const START_MS = Date.parse('2026-11-25T06:00:00Z');
/** Longest the faulty phase may take: a working day and a half. */
const FAULTY_MS = 36 * HOUR_MS;
const PIN = '493017';
/** Wrong clocks of tablets: right, hours off, a day off, and one whose battery died. */
const CLOCKS_WRONG_MS = [0, 0, 0, 3 * HOUR_MS, -24 * HOUR_MS, -START_MS, 90_000, 0] as const;

/**
 * One run from one seed: tablets that work offline and on, over a network that fails, with people who change and
 * sessions that end; then the network is well and everything must come to rest. PostgreSQL and the HTTP edge are real;
 * time, chance and the network between are not.
 */
export async function simulate(
  seed: number,
  size: Size,
  options: { readonly database?: TestDatabase; readonly plant?: PlantedBug } = {},
): Promise<FaultReport> {
  const time = new VirtualTime(START_MS);
  const random = seededRandom(seed);
  const api = await startApi({
    clock: () => new Date(time.nowMs),
    ...(options.database ? { database: options.database } : {}),
  });
  const restore = catchFetch();
  try {
    if (options.plant?.sql) await api.database.sql(options.plant.sql);
    return await run(seed, size, { api, time, random, plant: options.plant });
  } finally {
    restore();
    await api.close();
  }
}

interface Stage {
  readonly api: TestApi;
  readonly time: VirtualTime;
  readonly random: SeededRandom;
  readonly plant: PlantedBug | undefined;
}

interface Farm extends RestingFarm {
  readonly world: World;
  readonly tablets: readonly SimulatedTablet[];
  readonly deskEntries: Set<string>;
  readonly networks: readonly UnreliableNetwork[];
}

async function run(seed: number, size: Size, stage: Stage): Promise<FaultReport> {
  const farms: Farm[] = [];
  for (let at = 0; at < size.growers; at += 1)
    farms.push(await makeFarm(stage, `Farm ${at}`, size.tablets / size.growers));
  const tablets = farms.flatMap((farm) => farm.tablets);
  for (const tablet of tablets) liveAt(tablet, size.entriesPerTablet, stage);
  await stage.time.pass(START_MS + FAULTY_MS, () =>
    tablets.every(({ attempted }) => attempted.length >= size.entriesPerTablet),
  );
  const quietFromMs = stage.time.nowMs;
  for (const { networks } of farms) for (const network of networks) network.faultsOn = false;
  for (const tablet of tablets) tablet.online = true;
  // Tablets that do not come to rest are a breach already: nobody waits for them a second time.
  let resting = await comeToRest(tablets, size.quietMs, stage);
  const settled = resting ? await settleAll(farms, stage) : 0;
  resting &&= await comeToRest(tablets, size.quietMs, stage);
  const drainMin = (stage.time.nowMs - quietFromMs) / MINUTE_MS;
  for (const tablet of tablets) tablet.lookBack();
  const breaches = await allBreaches(farms, stage);
  if (!resting) breaches.push(`I10 not everything came to rest within ${size.quietMs / MINUTE_MS} minutes`);
  for (const tablet of tablets) tablet.core.close();
  const networks = farms.flatMap((farm) => farm.networks);
  return {
    seed,
    ...countsOf(tablets, breaches),
    settled,
    requests: sum(networks, ({ happened }) => sum(Object.values(happened), (count) => count)),
    faults: sum(networks, ({ happened }) => sum(Object.values(happened), (count) => count) - happened.none),
    restarts: sum(tablets, ({ restarts }) => restarts),
    signIns: sum(tablets, ({ signIns }) => signIns),
    drainMin,
  };
}

async function makeFarm(stage: Stage, name: string, tablets: number): Promise<Farm> {
  const { api, time, plant } = stage;
  const world = await api.farm(name);
  const lists = await addBenchLists(api.database, world.growerId);
  const people: string[] = [];
  for (const role of ['lead', 'hand'] as const) {
    people.push(bodyOf(await world.call('POST', '/api/staff', { name: role, role, pin: PIN })).staffId);
  }
  await makePinsCheap(api.database, world.growerId);
  const deskEntries = new Set(await stockUp(world, lists, stage));
  const deliver = deliverer(api);
  const made: SimulatedTablet[] = [];
  const networks: UnreliableNetwork[] = [];
  for (let at = 0; at < tablets; at += 1) {
    const own = seededRandom(1 + stage.random.whole(2 ** 31));
    const network = new UnreliableNetwork(
      time,
      seededRandom(1 + stage.random.whole(2 ** 31)),
      plant?.server?.(deliver, own) ?? deliver,
    );
    networks.push(network);
    made.push(
      await makeTablet(stage, world, lists, { name: `${name}, tablet ${at}`, people, network, random: own, at }),
    );
  }
  return { world, tablets: made, deskEntries, networks };
}

/**
 * A PIN takes so long to check that a day of people who come and go would be checks of PINs more than anything else. How
 * dear a check is stands in its hash, so here it is a cheap one; everything else about signing in is as it is.
 */
async function makePinsCheap(database: TestDatabase, growerId: string): Promise<void> {
  const pinHash = await hash(PIN, { memoryCost: 8, timeCost: 1 });
  await database.sql('UPDATE staff_pin SET pin_hash = $2 WHERE grower_id = $1', [growerId, pinHash]);
}

/** Jars that every tablet knows from the first moment on, so that they draw from the same ones while offline. */
async function stockUp(world: World, { strainId, sizeId }: AtHand, { time, random }: Stage): Promise<string[]> {
  const uuid = () => seededUuid(random);
  const at = new Date(time.nowMs).toISOString();
  const jars = Array.from({ length: 24 }, () => ({ id: uuid() }));
  const lot = { lotId: uuid(), strainId, sizeId, generation: 1, container: 'jar', carrier: 'grain', jars };
  const entry = { id: uuid(), sequence: 1, happenedAt: at, kind: 'received', payload: lot };
  bodyOf(await world.call('POST', '/api/bench/entries', { deviceId: uuid(), sentAt: at, entries: [entry] }));
  return [entry.id];
}

function deliverer(api: TestApi): Deliver {
  return async ({ method, path, headers, body }: Sent): Promise<Answered> => {
    const response = await api.app.inject({
      method: method as 'GET',
      url: path,
      headers: { ...headers },
      ...(body === undefined ? {} : { payload: body }),
    });
    return { status: response.statusCode, headers: response.headers as Record<string, string>, text: response.body };
  };
}

async function makeTablet(
  stage: Stage,
  world: World,
  farm: AtHand,
  own: {
    readonly name: string;
    readonly people: readonly string[];
    readonly network: UnreliableNetwork;
    readonly random: SeededRandom;
    readonly at: number;
  },
): Promise<SimulatedTablet> {
  const { api, time, plant } = stage;
  const { code } = bodyOf(await world.call('POST', '/api/devices/enrolments', { name: own.name }));
  const enrolled = await api.send({ method: 'POST', url: '/api/device', body: { code } });
  const tablet = new SimulatedTablet({
    ...own,
    growerId: world.growerId,
    deviceId: bodyOf(enrolled).deviceId,
    deviceCookie: cookieOf(enrolled),
    signIn: async (staffId, cookie) =>
      cookieOf(
        await api.send({
          method: 'POST',
          url: '/api/device/session',
          body: { staffId, pin: PIN },
          headers: { cookie },
        }),
      ),
    farm,
    time,
    clockWrongMs: CLOCKS_WRONG_MS[own.at % CLOCKS_WRONG_MS.length] ?? 0,
    ...(plant?.tablet ? { plant: plant.tablet } : {}),
  });
  await tablet.begin();
  return tablet;
}

/** Nothing fails on purpose while a farm is set up: a tablet that was never enrolled would look like one that lost its way. */
function bodyOf<Body>({ status, body }: { readonly status: number; readonly body: Body }): Body {
  if (status >= 300) throw new Error(`The farm could not be set up: ${status} ${JSON.stringify(body)}`);
  return body;
}

const RESTART_SHARE = 0.01;

/** A tablet's day: long stretches without a network, short ones with it, work all along, people who come and go. */
function liveAt(tablet: SimulatedTablet, entries: number, { time, plant }: Stage): void {
  const { random } = tablet.options;
  const between = (low: number, high: number) => low + random.whole(high - low);
  const work = async () => {
    if (tablet.attempted.length >= entries) return;
    await tablet.work();
    if (random.uniform() < (plant?.restartShare ?? RESTART_SHARE)) await tablet.restart();
    time.after(between(5_000, 60_000), work);
  };
  const roam = () => {
    if (tablet.attempted.length >= entries) return;
    tablet.online = !tablet.online;
    time.after(tablet.online ? between(30_000, 4 * MINUTE_MS) : between(3 * MINUTE_MS, 40 * MINUTE_MS), roam);
  };
  const people = async () => {
    if (tablet.attempted.length >= entries) return;
    if (tablet.core.status().needsSignIn || random.uniform() < 0.15) await tablet.signIn();
    time.after(between(2 * MINUTE_MS, 15 * MINUTE_MS), people);
  };
  time.after(between(0, 60_000), work);
  time.after(between(0, 5 * MINUTE_MS), roam);
  time.after(between(MINUTE_MS, 5 * MINUTE_MS), people);
}

/** The network is well and whoever is asked signs in: everything must be sent and seen in time. Answers whether it was. */
async function comeToRest(tablets: readonly SimulatedTablet[], quietMs: number, { time }: Stage): Promise<boolean> {
  const people = async (tablet: SimulatedTablet) => {
    if (tablet.core.status().needsSignIn) await tablet.signIn();
    time.after(MINUTE_MS, () => people(tablet));
  };
  for (const tablet of tablets) {
    time.after(MINUTE_MS, () => people(tablet));
    time.after(0, () => void tablet.core.syncNow());
  }
  const endMs = time.nowMs + quietMs;
  const resting = await time.pass(endMs, () => tablets.every(isAtRest(tablets)));
  // A last round of asking, for what the others sent while this one was already done.
  await time.pass(Math.min(endMs, time.nowMs + MINUTE_MS));
  return resting;
}

/** Nothing unsent, and everybody of a farm has seen as much as anybody. */
function isAtRest(tablets: readonly SimulatedTablet[]): (tablet: SimulatedTablet) => boolean {
  const furthest = new Map<string, number>();
  for (const { core, options } of tablets) {
    furthest.set(options.growerId, Math.max(furthest.get(options.growerId) ?? 0, core.status().cursor ?? 0));
  }
  return ({ core, options }) => core.status().unsent === 0 && core.status().cursor === furthest.get(options.growerId);
}

/** Enough to try every way; the others stay to be looked at. */
const SETTLED_AT_MOST = 12;

/** The lead settles what was refused, each with the first way there is. Answers how many. */
async function settleAll(farms: readonly Farm[], { api }: Stage): Promise<number> {
  let settled = 0;
  for (const { world, deskEntries } of farms) {
    const refused = await world.call('GET', '/api/bench/refused');
    if (refused.status !== 200) throw new Error(`What was refused cannot be read: ${JSON.stringify(refused.body)}`);
    const { items } = refused.body;
    for (const { entry, ways, otherJars } of items.slice(0, SETTLED_AT_MOST)) {
      const way = ways.find((one: string) => one !== 'take_another_jar' || otherJars.length > 0);
      const body = way === 'take_another_jar' ? { way, jarId: otherJars[0].jarId } : { way };
      const done = await world.call('POST', `/api/bench/refused/${entry.id}/settle`, body);
      if (done.status !== 200) await world.call('POST', `/api/bench/refused/${entry.id}/settle`, { way: 'drop' });
      settled += 1;
    }
    const made = await api.database.sql<{ id: string }>(
      "SELECT id::text FROM bench_entry e WHERE grower_id = $1 AND device_id = '00000000-0000-4000-8000-000000000001'",
      [world.growerId],
    );
    for (const { id } of made) deskEntries.add(id);
  }
  return settled;
}

async function allBreaches(farms: readonly Farm[], { api, time }: Stage): Promise<string[]> {
  const bench = new BenchService(api.database.growerDb, { now: () => new Date(time.nowMs) }, systemIds);
  const found: string[] = [];
  for (const farm of farms) {
    found.push(...(await breachesOf({ ...farm, world: await farm.world.signInAgain() }, api.database, bench)));
  }
  return found;
}
