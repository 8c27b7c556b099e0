import { type BenchSnapshot, unpackThings } from '@jarfold/contracts';
import type { BenchService } from '@jarfold/server';
import type { World } from '../support/api-app.js';
import { benchState } from '../support/bench-farm.js';
import type { TestDatabase } from '../support/test-database.js';
import type { TabletAtRest } from './tablet-at-rest.js';

/** One farm after everything has come to rest. */
export interface RestingFarm {
  readonly world: Pick<World, 'growerId' | 'staffId'> & {
    call(method: string, url: string): Promise<{ readonly body: Awaited<ReturnType<World['call']>>['body'] }>;
  };
  readonly tablets: readonly TabletAtRest[];
  /** Ids of entries made at the desk. */
  readonly deskEntries: ReadonlySet<string>;
}

interface StoredEntry {
  readonly id: string;
  readonly device_id: string;
  readonly device_seq: number;
  readonly position: number;
  readonly outcome: 'applied' | 'refused';
}

/**
 * What must hold when the network is well again, whatever has happened before: nothing lost, nothing doubled, nobody
 * else's, and the tablets see what the server has. Answers with one sentence per breach, named by its invariant.
 */
export async function breachesOf(
  { world, tablets, deskEntries }: RestingFarm,
  database: Pick<TestDatabase, 'sql'>,
  bench: BenchService,
): Promise<string[]> {
  const { growerId } = world;
  const stored = await database.sql<StoredEntry>(
    `SELECT id::text, device_id::text, device_seq::int, position::int, outcome FROM bench_entry
     WHERE grower_id = $1 ORDER BY position`,
    [growerId],
  );
  const snapshot: BenchSnapshot = (await world.call('GET', '/api/bench/snapshot')).body;
  const perTablet = tablets.flatMap((tablet) => [
    ...tablet.breaches,
    ...ackedAreStored(tablet, stored),
    ...attemptedAreAccountedFor(tablet, stored),
    ...orderIsKept(tablet, stored),
    ...viewIsTheServers(tablet, snapshot),
    ...tablet.faults.map((fault) => `I10 ${tablet.options.name} met a fault: ${String(fault)}`),
  ]);
  return [
    ...perTablet,
    ...nothingDoubled(tablets, deskEntries, stored),
    ...(await gramsAreConserved(database, growerId)),
    ...(await effectsFollowFromTheLog(database, bench, world)),
    ...(await chainIsIntact(bench, world)),
  ];
}

/** I1: whatever the server said it has, it has. */
function ackedAreStored(tablet: TabletAtRest, stored: readonly StoredEntry[]): string[] {
  const ids = new Set(stored.map(({ id }) => id));
  return [...tablet.acked].filter((id) => !ids.has(id)).map((id) => `I1 ${id} was acknowledged and is not stored`);
}

/** I2: every entry once, and none that nobody made (I8: nor one of another farm). */
function nothingDoubled(
  tablets: readonly TabletAtRest[],
  desk: ReadonlySet<string>,
  stored: readonly StoredEntry[],
): string[] {
  const made = new Set(tablets.flatMap(({ attempted }) => attempted.map(({ id }) => id)));
  const seen = new Set<string>();
  const twice = stored.filter(({ id }) => seen.has(id) || !seen.add(id));
  const strange = stored.filter(({ id }) => !made.has(id) && !desk.has(id));
  return [
    ...twice.map(({ id }) => `I2 ${id} is stored twice`),
    ...strange.map(({ id }) => `I2 ${id} is stored and was made by nobody of this farm`),
  ];
}

/** I3: attempted = applied + refused and visible + waiting; and I10: nothing waits any more. */
function attemptedAreAccountedFor(tablet: TabletAtRest, stored: readonly StoredEntry[]): string[] {
  const { name } = tablet.options;
  const outcome = new Map(stored.map((entry) => [entry.id, entry.outcome]));
  const own = new Map(tablet.core.own().map((entry) => [entry.id, entry.state]));
  const { unsent } = tablet.core.status();
  const lost = tablet.attempted.filter(({ id }) => !outcome.has(id) && own.get(id) !== 'unsent');
  const unseen = tablet.attempted.filter(({ id }) => outcome.get(id) === 'refused' && own.get(id) !== 'refused');
  return [
    ...lost.map(({ id }) => `I3 ${id} of ${name} was saved and is nowhere`),
    ...unseen.map(({ id }) => `I3 ${id} was refused and ${name} does not show it`),
    ...(unsent > 0 ? [`I10 ${name} still has ${unsent} unsent`] : []),
  ];
}

/** I7: the entries of a device stand in the log in the order of its count, without a gap. */
function orderIsKept(tablet: TabletAtRest, stored: readonly StoredEntry[]): string[] {
  const own = stored.filter(({ device_id }) => device_id === tablet.options.deviceId);
  const broken = own.find(({ device_seq }, index) => device_seq !== index + 1);
  const order = new Map(tablet.attempted.map(({ id }, index) => [id, index]));
  const outOfTurn = own.find(
    ({ id }, index) => index > 0 && (order.get(own[index - 1]?.id ?? '') ?? 0) > (order.get(id) ?? 0),
  );
  return [
    ...(broken ? [`I7 ${tablet.options.name}: ${broken.device_seq} stands at place ${own.indexOf(broken) + 1}`] : []),
    ...(outOfTurn ? [`I7 ${tablet.options.name}: ${outOfTurn.id} stands before an earlier one`] : []),
  ];
}

/** I4 and I8: a tablet at rest sees exactly the jars of its own farm, as the server has them. */
function viewIsTheServers({ core, options }: TabletAtRest, { position, things }: BenchSnapshot): string[] {
  const { cursor } = core.status();
  const there = unpackThings(things);
  const differing = (['jar', 'lot'] as const).flatMap((kind) => {
    const here = new Map([...core.view.all(kind)].map((thing) => [thing.id as string, canonical(thing)]));
    const server = new Map(there[kind].map((thing) => [thing.id as string, canonical(thing)]));
    const ids = new Set([...here.keys(), ...server.keys()]);
    return [...ids].filter((id) => here.get(id) !== server.get(id)).map((id) => `${kind} ${id}`);
  });
  const listed = new Set(there.jar.map(({ id }) => id));
  const strange = [...core.view.all('jar')].filter(({ id }) => !listed.has(id));
  return [
    ...strange.map(({ id }) => `I8 ${options.name} shows the jar ${id}, which its farm does not have`),
    ...(cursor === position ? [] : [`I4 ${options.name} stands at ${cursor}, the log at ${position}`]),
    ...(differing.length === 0
      ? []
      : [`I4 ${options.name} differs from the server in ${differing.length}: ${differing[0]}`]),
  ];
}

function canonical(thing: object): string {
  return JSON.stringify(Object.entries(thing).sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** I5: in = out + stock + waste for every jar and over its draws, and never below zero. */
async function gramsAreConserved(database: Pick<TestDatabase, 'sql'>, growerId: string): Promise<string[]> {
  const rows = await database.sql<{ code: string }>(
    `SELECT j.code FROM jar j
     LEFT JOIN (SELECT grower_id, jar_id, sum(mass_g) AS g FROM jar_draw GROUP BY 1, 2) d
       ON d.grower_id = j.grower_id AND d.jar_id = j.id
     WHERE j.grower_id = $1 AND (least(made_g, drawn_g, left_g, discarded_g) < 0
       OR made_g <> drawn_g + left_g + discarded_g OR drawn_g <> coalesce(d.g, 0))`,
    [growerId],
  );
  return rows.map(({ code }) => `I5 the grams of ${code} do not add up`);
}

/** I2 and I9: what is on the bench is what one pass over the log gives, each entry once. */
async function effectsFollowFromTheLog(
  database: Pick<TestDatabase, 'sql'>,
  bench: BenchService,
  world: RestingFarm['world'],
): Promise<string[]> {
  const before = await benchState(database, world.growerId);
  await bench.rebuildProjections({ growerId: world.growerId, staffId: world.staffId, role: 'owner' });
  const after = await benchState(database, world.growerId);
  return Object.keys(before)
    .filter((table) => JSON.stringify(before[table]) !== JSON.stringify(after[table]))
    .map((table) => `I9 ${table} is not what the log says`);
}

async function chainIsIntact(bench: BenchService, world: RestingFarm['world']): Promise<string[]> {
  const { intact, fault } = await bench.verifyChain({
    growerId: world.growerId,
    staffId: world.staffId,
    role: 'owner',
  });
  return intact ? [] : [`I9 the chain is broken: ${fault?.message}`];
}
