/**
 * How long the stock screen's answers take on a large farm: 10,000 standing jars and 200,000 bench entries of one grower,
 * with five neighbours of 2,000 jars in the same tables. Through the services, the row security and the connections that
 * serve growers; on a packaged PostgreSQL with its usual, durable settings.
 *
 *   node benchmarks/stock-screen.mjs        (needs `npm run build`)
 */
import { randomUUID } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { cpus, loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import { BenchService, StockService } from '../libs/server/dist/index.js';
import { systemClock, systemIds } from '../libs/server/dist/platform/index.js';
import { atRank } from './at-rank.mjs';
import { withFarmDatabase } from './farm-database.mjs';

const JARS = 10_000;
const ENTRIES = 200_000;
const ROUNDS = 60;

/** A farm in bulk, past the bench log: only the number and shape of the rows matter here. */
async function seedGrower(sql, growerId, jars, entries) {
  const staff = randomUUID();
  const device = randomUUID();
  await sql(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
  await sql(`INSERT INTO bench_counter (grower_id, position, head_hash) VALUES ($1, $2, repeat('0', 64))`, [
    growerId,
    entries,
  ]);
  await sql('INSERT INTO farm_settings (grower_id) VALUES ($1)', [growerId]);
  await sql(`INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'owner')`, [growerId, staff]);
  await sql(`INSERT INTO device (grower_id, id, name) VALUES ($1, $2, 'Tablet')`, [growerId, device]);
  await sql(
    `INSERT INTO strain (grower_id, id, short_code, name, species_key)
     SELECT $1, gen_random_uuid(), 'ST' || n, 'Strain ' || n, 'pleurotus-ostreatus' FROM generate_series(1, 8) n`,
    [growerId],
  );
  await sql(
    `INSERT INTO container_size (grower_id, id, name, volume_ml) VALUES ($1, gen_random_uuid(), 'Litre', 1000)`,
    [growerId],
  );
  await sql(
    `INSERT INTO room (grower_id, id, name, kind)
     SELECT $1, gen_random_uuid(), 'Room ' || n, CASE WHEN n = 3 THEN 'cold' ELSE 'incubation' END FROM generate_series(1, 3) n`,
    [growerId],
  );
  await sql(
    `INSERT INTO shelf (grower_id, id, room_id, name, rows, places_per_row)
     SELECT $1, gen_random_uuid(), room.id, 'Shelf ' || n, 10, 40 FROM room, generate_series(1, 10) n WHERE grower_id = $1`,
    [growerId],
  );
  await sql(
    `INSERT INTO lot (grower_id, id, code, origin, strain_id, generation, size_id, made_on, made_by, jars_made)
     SELECT $1, gen_random_uuid(), 'ST-' || n, 'inoculated',
            (SELECT id FROM strain WHERE grower_id = $1 ORDER BY short_code OFFSET n % 8 LIMIT 1), n % 4,
            (SELECT id FROM container_size WHERE grower_id = $1), current_date - (n % 120), $2, 20
     FROM generate_series(1, $3::int) n`,
    [growerId, staff, Math.ceil(jars / 20)],
  );
  await sql(
    `INSERT INTO jar (grower_id, id, code, lot_id, serial, strain_id, generation, size_id, state, made_on, made_at, made_g, left_g,
                      ripe_on, chilled_on, shelf_id, shelf_row, shelf_place)
     SELECT $1, gen_random_uuid(), lot.code || '/' || n, lot.id, n, lot.strain_id, lot.generation, lot.size_id,
            (ARRAY['incubating', 'ripe', 'chilled', 'opened'])[1 + (abs(hashtext(lot.code)) + n) % 4], lot.made_on, lot.made_on, 600, 600,
            CASE WHEN (abs(hashtext(lot.code)) + n) % 4 > 0 THEN lot.made_on + 14 END,
            CASE WHEN (abs(hashtext(lot.code)) + n) % 4 = 2 THEN lot.made_on + 16 END,
            shelf.id, 1 + n % 10, 1 + n
     FROM lot CROSS JOIN generate_series(1, 20) n
     JOIN (SELECT id, row_number() OVER () AS at FROM shelf WHERE grower_id = $1) shelf ON shelf.at = 1 + abs(hashtext(lot.code)) % 30
     WHERE lot.grower_id = $1`,
    [growerId],
  );
  await sql(
    `INSERT INTO bench_entry (grower_id, position, id, device_id, device_seq, staff_id, kind, payload, happened_at, effective_at,
                              effective_day, recorded_at, outcome, content_hash, previous_hash, hash)
     SELECT $1, n, gen_random_uuid(), $2, n, $3, 'checked', '{"colonisedShare":0.5,"jars":["a","b"]}', at, at, at::date, at, 'applied',
            repeat('a', 64), repeat('b', 64), repeat('c', 64)
     FROM (SELECT n, now() - (($4::int - n) || ' minutes')::interval AS at FROM generate_series(1, $4::int) n) e`,
    [growerId, device, staff, entries],
  );
  await sql(
    `INSERT INTO bench_entry_thing (grower_id, thing_id, position)
     SELECT $1, jar.id, n FROM generate_series(1, $2::int) n
     JOIN (SELECT id, row_number() OVER () AS at FROM jar WHERE grower_id = $1) jar ON jar.at = 1 + n % $3::int`,
    [growerId, entries, jars],
  );
}

/** Wall-clock time as a person waits, and processor time, which other work on the machine does not lengthen. */
async function measure(databaseCpuMs, work) {
  for (let round = 0; round < 5; round += 1) await work();
  const times = [];
  const server = await databaseCpuMs();
  const client = process.cpuUsage();
  for (let round = 0; round < ROUNDS; round += 1) {
    const started = performance.now();
    await work();
    times.push(performance.now() - started);
  }
  const used = process.cpuUsage(client);
  const serverUsed = (await databaseCpuMs()) - server;
  times.sort((a, b) => a - b);
  const round1 = (ms) => Math.round(ms * 10) / 10;
  return {
    medianMs: round1(atRank(times, 0.5)),
    p95Ms: round1(atRank(times, 0.95)),
    serviceCpuMs: round1((used.user + used.system) / 1000 / ROUNDS),
    databaseCpuMs: round1(serverUsed / ROUNDS),
  };
}

await withFarmDatabase(async ({ sql, platform, databaseCpuMs }) => {
  const growerId = randomUUID();
  await seedGrower(sql, growerId, JARS, ENTRIES);
  for (let at = 0; at < 5; at += 1) await seedGrower(sql, randomUUID(), 2_000, 20_000);
  await sql('VACUUM ANALYZE');
  const standing = await sql(`SELECT count(*)::int AS jars FROM jar WHERE grower_id = $1 AND state <> 'emptied'`, [
    growerId,
  ]);
  const oneJar = await sql('SELECT id FROM jar WHERE grower_id = $1 LIMIT 1', [growerId]);

  const ctx = { growerId, staffId: null, role: 'owner' };
  const stock = new StockService(platform.growerDb, systemClock);
  const bench = new BenchService(platform.growerDb, systemClock, systemIds);
  const overviewSql = `SELECT strain_id, generation, state, made_on, ripe_on, chilled_on, count(*), sum(left_g) FROM jar
     WHERE grower_id = $1 AND state IN ('incubating', 'ripe', 'chilled', 'opened') GROUP BY 1, 2, 3, 4, 5, 6`;
  const results = {
    overview: await measure(databaseCpuMs, () => stock.overview(ctx)),
    pageOfJars: await measure(databaseCpuMs, () => stock.jars(ctx, { sort: 'code', onHand: 'true', limit: 100 })),
    drawnRooms: await measure(databaseCpuMs, () => stock.rooms(ctx)),
    oneJar: await measure(databaseCpuMs, () => stock.jar(ctx, oneJar.rows[0].id)),
    pull500: await measure(databaseCpuMs, () => bench.pull(ctx, { after: 100_000, limit: 500 })),
    overviewQueryAlone: await measure(databaseCpuMs, () => sql(overviewSql, [growerId])),
  };
  const report = {
    jarsStanding: standing.rows[0].jars,
    entries: ENTRIES,
    rounds: ROUNDS,
    processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
    loadAverage: loadavg()[0],
    results,
  };
  console.log(JSON.stringify(report, null, 2));
  await writeFile(new URL('results/stock-screen.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
});
