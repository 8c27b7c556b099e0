/**
 * What a farm's own numbers cost with the database: all rates of a grower, what the watch sees and a recall, through the
 * services, the row security and the connections that serve growers, at three sizes so that the growth is seen. Processor
 * time of this process and of the database, since the machine may be busy with other work; wall-clock time beside it.
 *
 *   node benchmarks/rates.mjs        (needs `npm run build`)
 */
import { randomUUID } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { cpus, loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import { RatesService, RecallService, WatchService } from '../libs/server/dist/index.js';
import { systemClock } from '../libs/server/dist/platform/index.js';
import { withFarmDatabase } from './farm-database.mjs';

const JARS_PER_LOT = 8;
/** Eight entries to a jar: made, four looks, a finding, and moves and shakes of single jars. */
const ENTRIES_PER_LOT = 64;
const RATE_SIZES = [50_000, 100_000, 200_000];
const RECALL_LOTS = [2_500, 5_000, 10_000];
const ROUNDS = 3;

const id = (kind) => `md5($1::uuid::text || '${kind}' || `;
const lotId = (n) => `${id('lot')}${n})::uuid`;
const jarId = (n, j) => `${id('jar')}${n} || '/' || ${j})::uuid`;

/** Work of one sort only, when it is being mended. */
const only = process.argv[2];

/** A year of lots in bulk, past the bench log: only the number and shape of the rows matter here. */
async function seedGrower(sql, lots, entriesPerLot) {
  const [growerId, staff, device] = [randomUUID(), randomUUID(), randomUUID()];
  const entries = lots * entriesPerLot;
  await sql(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
  await sql(`INSERT INTO bench_counter (grower_id, position, head_hash) VALUES ($1, $2, repeat('0', 64))`, [
    growerId,
    entries,
  ]);
  await sql('INSERT INTO farm_settings (grower_id, altitude_m) VALUES ($1, 200)', [growerId]);
  await sql(`INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'owner')`, [growerId, staff]);
  await sql(`INSERT INTO device (grower_id, id, name) VALUES ($1, $2, 'Tablet')`, [growerId, device]);
  await sql(
    `INSERT INTO strain (grower_id, id, short_code, name, species_key)
     SELECT $1::uuid, ${id('strain')}n)::uuid, 'ST' || n, 'Strain ' || n, 'pleurotus-ostreatus' FROM generate_series(0, 5) n`,
    [growerId],
  );
  await sql(
    `INSERT INTO container_size (grower_id, id, name, volume_ml) VALUES ($1::uuid, ${id('size')}'')::uuid, 'Litre', 1000)`,
    [growerId],
  );
  await sql(
    `INSERT INTO room (grower_id, id, name, kind, temperature_c)
     SELECT $1::uuid, ${id('room')}n)::uuid, 'Room ' || n, 'incubation', 22 + n FROM generate_series(0, 1) n`,
    [growerId],
  );
  await sql(
    `INSERT INTO shelf (grower_id, id, room_id, name, rows, places_per_row)
     SELECT $1::uuid, ${id('shelf')}n)::uuid, ${id('room')}n)::uuid, 'Left', 10, 40 FROM generate_series(0, 1) n`,
    [growerId],
  );
  await sql(
    `INSERT INTO grain_batch (grower_id, id, code, grain, stage, begun_on)
     SELECT $1::uuid, ${id('batch')}n)::uuid, 'G' || n, 'rye', 'filled', current_date FROM generate_series(0, $2::int / 16) n`,
    [growerId, lots],
  );
  await sql(
    `INSERT INTO steriliser_cycle (grower_id, id, code, method, stage, started_on, started_at, ended_at, hold_min, gauge_pressure_kpa)
     SELECT $1::uuid, ${id('cycle')}n)::uuid, 'C' || n, 'pressure', 'ended', day, day, day + interval '3 hours', 90, 106
       FROM (SELECT n, current_date - 1 - (($2::int / 4 - n) * 360) / ($2::int / 4 + 1) AS day FROM generate_series(0, $2::int / 4) n) c`,
    [growerId, lots],
  );
  await sql(
    `INSERT INTO lot (grower_id, id, code, origin, strain_id, generation, size_id, grain_batch_id, cycle_id, made_on, made_by, jars_made)
     SELECT $1::uuid, ${lotId('n')}, 'ST-' || n, 'inoculated', ${id('strain')}n % 6)::uuid, 1 + n % 3, ${id('size')}'')::uuid,
            ${id('batch')}n / 16)::uuid, ${id('cycle')}n / 4)::uuid, current_date - (($3::int - n) * 360) / $3::int, $2::uuid, ${JARS_PER_LOT}
     FROM generate_series(1, $3::int) n`,
    [growerId, staff, lots],
  );
  // Ten lots come from one of the lots before them, so that all are of one line; one jar in ten goes bad on the sixth day.
  await sql(
    `INSERT INTO jar (grower_id, id, code, lot_id, serial, strain_id, generation, size_id, mother_jar_id, state, made_on, made_at,
                      made_g, left_g, contaminated_on, ripe_on, gone_on, gone_at, gone_reason, discarded_g, shelf_id, shelf_row, shelf_place)
     SELECT $1::uuid, ${jarId('n', 'j')}, lot.code || '/' || j, lot.id, j, lot.strain_id, lot.generation, lot.size_id,
            CASE WHEN n > 1 THEN ${jarId('greatest(1, n / 10)', `1 + n % ${JARS_PER_LOT}`)} END,
            CASE WHEN gone THEN 'discarded' WHEN ripe IS NOT NULL THEN 'ripe' ELSE 'incubating' END, lot.made_on, lot.made_on,
            600, CASE WHEN gone THEN 0 ELSE 600 END, bad, ripe, CASE WHEN gone THEN lot.made_on + 30 END, CASE WHEN gone THEN lot.made_on + 30 END,
            CASE WHEN gone THEN 'discarded' END, CASE WHEN gone THEN 600 ELSE 0 END,
            CASE WHEN NOT gone THEN ${id('shelf')}n % 2)::uuid END, CASE WHEN NOT gone THEN 1 END, CASE WHEN NOT gone THEN j END
     FROM (SELECT n, j, lot.*, hash % 10 = 0 AS spoils,
                  CASE WHEN hash % 10 = 0 AND made_on + 6 <= current_date THEN made_on + 6 END AS bad,
                  CASE WHEN hash % 10 > 0 AND made_on + 14 <= current_date THEN made_on + 14 END AS ripe,
                  made_on + 30 <= current_date AS gone
             FROM (SELECT n, j, abs(hashtext($1::uuid::text || n || '/' || j)) AS hash FROM generate_series(1, $2::int) n, generate_series(1, ${JARS_PER_LOT}) j) k
             JOIN lot ON lot.grower_id = $1::uuid AND lot.id = ${lotId('k.n')}) lot`,
    [growerId, lots],
  );
  await seedEntries(sql, { growerId, staff, device, lots, entriesPerLot });
  return { growerId, staff };
}

async function seedEntries(sql, { growerId, staff, device, lots, entriesPerLot }) {
  await sql(
    `INSERT INTO bench_entry (grower_id, position, id, device_id, device_seq, staff_id, kind, payload, happened_at, effective_at,
                              effective_day, recorded_at, outcome, content_hash, previous_hash, hash)
     SELECT $1::uuid, position, gen_random_uuid(), $2::uuid, position, $3::uuid, kind,
            CASE WHEN kind = 'inoculated' THEN jsonb_build_object('lotId', lot_id, 'jars', made)
                 WHEN kind = 'checked' THEN jsonb_build_object('jars', CASE WHEN k = 5 THEN ripe ELSE unripe END)
                 ELSE jsonb_build_object('jarIds', jsonb_build_array(one)) END,
            day, day, day, day, 'applied', repeat('a', 64), repeat('b', 64), repeat('c', 64)
       FROM (SELECT (n - 1)::bigint * $5::int + k AS position, k, lot.id AS lot_id, made, unripe, ripe,
                    CASE WHEN k = 1 THEN 'inoculated' WHEN k <= 5 THEN 'checked' WHEN k % 2 = 0 THEN 'shaken' ELSE 'moved' END AS kind,
                    least(current_date, lot.made_on + (ARRAY[0, 4, 8, 11, 14])[least(k, 5)]) AS day,
                    made->(k % ${JARS_PER_LOT})->>'id' AS one
               FROM generate_series(1, $4::int) n
               JOIN lot ON lot.grower_id = $1::uuid AND lot.id = ${lotId('n')}
               JOIN LATERAL (SELECT jsonb_agg(jsonb_build_object('id', jar.id, 'place', jsonb_build_object('shelfId', ${id('shelf')}n % 2)::uuid))) AS made,
                                    jsonb_agg(jsonb_build_object('jarId', jar.id, 'ripe', false)) AS unripe,
                                    jsonb_agg(jsonb_build_object('jarId', jar.id, 'ripe', jar.contaminated_on IS NULL)) AS ripe
                               FROM jar WHERE jar.grower_id = lot.grower_id AND jar.lot_id = lot.id) j ON true
              CROSS JOIN generate_series(1, $5::int) k) e`,
    [growerId, device, staff, lots, entriesPerLot],
  );
  await sql(
    `INSERT INTO bench_entry_thing (grower_id, thing_id, position)
     SELECT DISTINCT grower_id, coalesce(thing->>'id', thing->>'jarId', thing #>> '{}')::uuid, position
       FROM bench_entry CROSS JOIN LATERAL jsonb_array_elements(coalesce(payload->'jars', payload->'jarIds')) thing
      WHERE grower_id = $1::uuid`,
    [growerId],
  );
}

/** The best of a few rounds, after one to warm up. */
async function measure(databaseCpuMs, work) {
  await work();
  const rounds = [];
  for (let round = 0; round < ROUNDS; round++) {
    const [database, before, started] = [await databaseCpuMs(), process.cpuUsage(), performance.now()];
    await work();
    const wallMs = performance.now() - started;
    const { user, system } = process.cpuUsage(before);
    rounds.push({
      serviceCpuMs: (user + system) / 1000,
      databaseCpuMs: (await databaseCpuMs()) - database,
      wallMs,
    });
  }
  rounds.sort((one, other) => one.serviceCpuMs + one.databaseCpuMs - other.serviceCpuMs - other.databaseCpuMs);
  return Object.fromEntries(Object.entries(rounds[0]).map(([name, ms]) => [name, Math.round(ms)]));
}

await withFarmDatabase(async ({ sql, platform, databaseCpuMs }) => {
  const rates = new RatesService(platform.growerDb, systemClock);
  const recall = new RecallService(platform.growerDb, systemClock);
  const watch = new WatchService(platform.growerDb, systemClock);
  const results = { allRates: {}, watch: {}, recall: {} };
  for (const entries of only === 'recall' ? [] : RATE_SIZES) {
    const { growerId, staff } = await seedGrower(sql, Math.floor(entries / ENTRIES_PER_LOT), ENTRIES_PER_LOT);
    await sql('VACUUM ANALYZE');
    const ctx = { growerId, staffId: staff, role: 'owner' };
    const query = { days: 365, period: 'week' };
    results.allRates[entries] = await measure(databaseCpuMs, async () => {
      await rates.contamination(ctx, query);
      await rates.growth(ctx, query);
      await rates.ageing(ctx, query);
      await rates.yield(ctx, query);
    });
    results.watch[entries] = await measure(databaseCpuMs, () => watch.look(ctx));
    console.log(entries, JSON.stringify(results.allRates[entries]), JSON.stringify(results.watch[entries]));
  }
  for (const lots of only === 'rates' ? [] : RECALL_LOTS) {
    const { growerId, staff } = await seedGrower(sql, lots, 1);
    await sql('VACUUM ANALYZE');
    const ctx = { growerId, staffId: staff, role: 'owner' };
    let jars = 0;
    const work = async () => {
      const found = await recall.recall(ctx, { code: 'ST-1' });
      jars = found.jars.length;
    };
    results.recall[lots] = { ...(await measure(databaseCpuMs, work)), jars };
    console.log(lots, JSON.stringify(results.recall[lots]));
  }
  const report = {
    ...{ date: new Date().toISOString().slice(0, 10), node: process.version, loadAverage: loadavg()[0] },
    ...{ processors: `${cpus().length} × ${cpus()[0].model.trim()}`, jarsPerLot: JARS_PER_LOT, results },
  };
  if (only === undefined)
    await writeFile(new URL('results/rates.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
});
