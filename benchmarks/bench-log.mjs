/**
 * How fast the bench log records, and what its rules, chain and projections cost beside plain SQL that inserts and
 * updates the same rows without any of them. One grower; a packaged PostgreSQL with its usual, durable settings.
 *
 *   node benchmarks/bench-log.mjs [jars] [entries]      (needs `npm run build`; 10,000 and 200,000 unless said otherwise)
 */
import { randomUUID } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { cpus, loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import { BenchService, recordPast, refreshStatistics, StockService } from '../libs/server/dist/index.js';
import { systemClock, systemIds } from '../libs/server/dist/platform/index.js';
import { withFarmDatabase } from './farm-database.mjs';

const JARS = Number(process.argv[2] ?? 10_000);
const ENTRIES = Number(process.argv[3] ?? 200_000);
const JARS_PER_LOT = 20;
const SINGLE_REQUESTS = 300;
const TABLETS = 20;
const ENTRIES_PER_TABLET = 50;
const PLAIN_TRANSACTIONS = 300;
const ENTRIES_PER_PART = 10_000;

const round1 = (value) => Math.round(value * 10) / 10;
const rate = (count, ms) => Math.round((count / ms) * 1000);

async function timed(work) {
  const started = performance.now();
  const value = await work();
  return { value, ms: performance.now() - started };
}

async function makeFarm(sql) {
  const ids = { growerId: randomUUID(), staffId: randomUUID(), strainId: randomUUID(), sizeId: randomUUID() };
  const { growerId, staffId, strainId, sizeId } = ids;
  await sql(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
  await sql('INSERT INTO bench_counter (grower_id) VALUES ($1)', [growerId]);
  await sql('INSERT INTO farm_settings (grower_id) VALUES ($1)', [growerId]);
  await sql(`INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'owner')`, [growerId, staffId]);
  await sql(
    `INSERT INTO strain (grower_id, id, short_code, name, species_key, last_generation) VALUES ($1, $2, 'OY3', 'Grey', 'other', 9)`,
    [growerId, strainId],
  );
  await sql(`INSERT INTO container_size (grower_id, id, name, volume_ml, ripe_g) VALUES ($1, $2, 'Litre', 1000, 600)`, [
    growerId,
    sizeId,
  ]);
  return ids;
}

/** A year of lots made from received mothers, each jar looked at again and again until the entries are used up. */
function* history({ strainId, sizeId }) {
  const lots = Math.ceil(JARS / JARS_PER_LOT);
  const yearMs = 360 * 86_400_000;
  const start = Date.now() - yearMs;
  let written = 0;
  const entry = (kind, payload) => {
    written += 1;
    const happenedAt = new Date(start + (yearMs * written) / ENTRIES).toISOString();
    return { id: randomUUID(), happenedAt, kind, payload };
  };
  const jars = [];
  for (let lot = 0; lot < lots; lot += 1) {
    const made = Array.from({ length: JARS_PER_LOT }, () => ({ id: randomUUID() }));
    const base = { lotId: randomUUID(), strainId, sizeId, jars: made };
    const motherId = jars[jars.length - JARS_PER_LOT];
    yield motherId === undefined || lot % 8 === 0
      ? entry('received', { ...base, generation: 1, container: 'jar', carrier: 'grain' })
      : entry('inoculated', { ...base, mothers: [{ jarId: motherId, amount: { by: 'grams', massG: 60 } }] });
    jars.push(...made.map(({ id }) => id));
    const until = Math.floor((ENTRIES * (lot + 1)) / lots);
    for (let n = 0; written < until; n += 1) {
      const jarId = jars[jars.length - 1 - (n % Math.min(jars.length, 60))];
      yield n % 3 === 0
        ? entry('shaken', { jarIds: [jarId] })
        : entry('checked', { jars: [{ jarId, colonisedShare: Math.min(1, n / 400) }] });
    }
  }
}

function tablet(bench, ctx) {
  const deviceId = randomUUID();
  let sequence = 0;
  return {
    write(kind, payload) {
      sequence += 1;
      return { id: randomUUID(), sequence, happenedAt: new Date().toISOString(), kind, payload };
    },
    async send(entries) {
      const { answers } = await bench.record(ctx, { deviceId, sentAt: new Date().toISOString(), entries });
      const refused = answers.find(({ outcome }) => outcome !== 'applied');
      if (refused) throw new Error(JSON.stringify(refused));
    },
  };
}

async function singleRequests(bench, ctx, jarIds) {
  const one = tablet(bench, ctx);
  const times = [];
  for (let n = 0; n < SINGLE_REQUESTS; n += 1) {
    const { ms } = await timed(() => one.send([one.write('shaken', { jarIds: [jarIds[n % jarIds.length]] })]));
    times.push(ms);
  }
  return times;
}

async function manyTablets(bench, ctx, jarIds) {
  const times = [];
  const { ms } = await timed(() =>
    Promise.all(
      Array.from({ length: TABLETS }, async (_, n) => {
        const one = tablet(bench, ctx);
        const entries = Array.from({ length: ENTRIES_PER_TABLET }, (__, k) =>
          one.write('shaken', { jarIds: [jarIds[(n * ENTRIES_PER_TABLET + k) % jarIds.length]] }),
        );
        times.push((await timed(() => one.send(entries))).ms);
      }),
    ),
  );
  return { ms, times };
}

/** The past in parts, each a batch of a device of its own: the later ones touch what the earlier ones made. */
async function bringIn(growerDb, ctx, entries) {
  for (let from = 0; from < entries.length; from += ENTRIES_PER_PART) {
    const device = { id: randomUUID(), name: `Records from ${from}` };
    const part = { device, entries: entries.slice(from, from + ENTRIES_PER_PART) };
    const record = async (tx) => (await recordPast(tx, ctx, part, systemClock.now())).append();
    await growerDb.run(ctx, record, { timeoutMs: 600_000 });
    if (from === 0) await growerDb.run(ctx, refreshStatistics);
  }
}

/** The same rows without rules, chain, locks or savepoints: per entry one transaction of an insert, a link and an update. */
async function plainSql(client, { growerId }, jarIds) {
  await client.query('CREATE TABLE plain_entry (LIKE bench_entry INCLUDING DEFAULTS INCLUDING INDEXES)');
  await client.query('CREATE TABLE plain_entry_thing (LIKE bench_entry_thing INCLUDING INDEXES)');
  await client.query('INSERT INTO plain_entry SELECT * FROM bench_entry');
  await client.query('INSERT INTO plain_entry_thing SELECT * FROM bench_entry_thing');
  await client.query('VACUUM ANALYZE plain_entry, plain_entry_thing');
  const { rows } = await client.query('SELECT * FROM bench_entry WHERE grower_id = $1 ORDER BY position DESC LIMIT 1', [
    growerId,
  ]);
  const columns = Object.keys(rows[0]);
  const insert = `INSERT INTO plain_entry (${columns.join(', ')}) VALUES (${columns.map((_, at) => `$${at + 1}`).join(', ')})`;
  let position = Number(rows[0].position);
  const valuesOf = () => {
    position += 1;
    const fresh = { ...rows[0], position, id: randomUUID(), device_seq: position };
    return columns.map((column) =>
      typeof fresh[column] === 'object' && fresh[column] !== null && !(fresh[column] instanceof Date)
        ? JSON.stringify(fresh[column])
        : fresh[column],
    );
  };
  const one = async (jarId) => {
    await client.query(insert, valuesOf());
    await client.query('INSERT INTO plain_entry_thing VALUES ($1, $2, $3)', [growerId, jarId, position]);
    await client.query('UPDATE jar SET shakes = shakes + 1 WHERE grower_id = $1 AND id = $2', [growerId, jarId]);
  };
  const single = await timed(async () => {
    for (let n = 0; n < PLAIN_TRANSACTIONS; n += 1) {
      await client.query('BEGIN');
      await one(jarIds[n % jarIds.length]);
      await client.query('COMMIT');
    }
  });
  const batched = await timed(async () => {
    for (let batch = 0; batch < TABLETS; batch += 1) {
      await client.query('BEGIN');
      for (let k = 0; k < ENTRIES_PER_TABLET; k += 1)
        await one(jarIds[(batch * ENTRIES_PER_TABLET + k) % jarIds.length]);
      await client.query('COMMIT');
    }
  });
  return {
    singlePerSecond: rate(PLAIN_TRANSACTIONS, single.ms),
    batchedPerSecond: rate(TABLETS * ENTRIES_PER_TABLET, batched.ms),
  };
}

const atRank = (values, share) => {
  const sorted = values.toSorted((a, b) => a - b);
  return round1(sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))]);
};

await withFarmDatabase(async ({ sql, superuser, platform }) => {
  const farm = await makeFarm(sql);
  const ctx = { growerId: farm.growerId, staffId: farm.staffId, role: 'owner' };
  const bench = new BenchService(platform.growerDb, systemClock, systemIds);
  const stock = new StockService(platform.growerDb, systemClock);

  const entries = [...history(farm)];
  const imported = await timed(() => bringIn(platform.growerDb, ctx, entries));
  await superuser.query('VACUUM ANALYZE');
  const jarIds = entries
    .filter(({ payload }) => 'lotId' in payload)
    .slice(-50)
    .flatMap(({ payload }) => payload.jars.map(({ id }) => id));
  await singleRequests(bench, ctx, jarIds); // warm up
  const single = await singleRequests(bench, ctx, jarIds);
  const crowd = await manyTablets(bench, ctx, jarIds);
  const plain = await plainSql(superuser, farm, jarIds);
  const chain = await timed(() => bench.verifyChain(ctx));
  const rebuilt = await timed(() => bench.rebuildProjections(ctx));
  const overview = [];
  for (let n = 0; n < 40; n += 1) overview.push((await timed(() => stock.overview(ctx))).ms);
  const singlePerSecond = rate(
    SINGLE_REQUESTS,
    single.reduce((sum, ms) => sum + ms, 0),
  );
  const crowdPerSecond = rate(TABLETS * ENTRIES_PER_TABLET, crowd.ms);
  const report = {
    jars: JARS,
    entries: entries.length,
    processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
    loadAverage: loadavg()[0],
    importPerSecond: rate(entries.length, imported.ms),
    oneEntryPerRequest: {
      perSecond: singlePerSecond,
      medianMs: atRank(single, 0.5),
      p95Ms: atRank(single, 0.95),
      ratioToPlainSql: Math.round((singlePerSecond / plain.singlePerSecond) * 100) / 100,
    },
    twentyTabletsOfFiftyEntries: {
      perSecond: crowdPerSecond,
      p95Ms: atRank(crowd.times, 0.95),
      ratioToPlainSql: Math.round((crowdPerSecond / plain.batchedPerSecond) * 100) / 100,
    },
    plainSql: plain,
    verifyChainS: round1(chain.ms / 1000),
    chainIntact: chain.value.intact,
    rebuildS: round1(rebuilt.ms / 1000),
    stockOverview: { medianMs: atRank(overview, 0.5), p95Ms: atRank(overview, 0.95) },
  };
  console.log(JSON.stringify(report, null, 2));
  await writeFile(new URL('results/bench-log.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
});
