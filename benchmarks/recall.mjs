/**
 * How long a recall takes: the root lot of lineages of 1,000, 3,000 and 10,000 lots of four jars, each among as many lots
 * that are no relatives. Through the service, the row security, the answer's schema and JSON, as a request has it; on a
 * packaged PostgreSQL with its usual, durable settings.
 *
 *   node benchmarks/recall.mjs        (needs `npm run build`)
 */
import { randomUUID } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import pg from 'pg';
import { recallSchema } from '../libs/contracts/dist/index.js';
import { RecallService } from '../libs/server/dist/index.js';
import {
  createLog,
  migrate,
  openPlatform,
  platformEnvSchema,
  startEmbeddedPostgres,
  systemClock,
} from '../libs/server/dist/platform/index.js';

const SIZES = [1_000, 3_000, 10_000];
const JARS_PER_LOT = 4;
/** Lots made from the jars of one lot: three or four generations for ten thousand lots, as on a farm. */
const DAUGHTERS = 25;
const ROUNDS = 8;

/** A farm of one lineage and as many lots beside it; past the bench log, only the rows' number and shape matter here. */
async function seedGrower(sql, lots) {
  const growerId = randomUUID();
  const staff = randomUUID();
  await sql(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
  await sql(`INSERT INTO bench_counter (grower_id, position, head_hash) VALUES ($1, 0, repeat('0', 64))`, [growerId]);
  await sql('INSERT INTO farm_settings (grower_id) VALUES ($1)', [growerId]);
  await sql(`INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'owner')`, [growerId, staff]);
  await sql(
    `INSERT INTO strain (grower_id, id, short_code, name, species_key)
     VALUES ($1, gen_random_uuid(), 'OY1', 'Oyster', 'pleurotus-ostreatus')`,
    [growerId],
  );
  await sql(
    `INSERT INTO container_size (grower_id, id, name, volume_ml) VALUES ($1, gen_random_uuid(), 'Litre', 1000)`,
    [growerId],
  );
  await sql(`INSERT INTO room (grower_id, id, name, kind) VALUES ($1, gen_random_uuid(), 'Warm room', 'incubation')`, [
    growerId,
  ]);
  await sql(
    `INSERT INTO shelf (grower_id, id, room_id, name, rows, places_per_row)
     SELECT $1, gen_random_uuid(), room.id, 'Shelf ' || n, 10, 40 FROM room, generate_series(1, 20) n WHERE grower_id = $1`,
    [growerId],
  );
  await sql(
    `INSERT INTO lot (grower_id, id, code, origin, strain_id, generation, size_id, made_on, made_by, jars_made)
     SELECT $1, gen_random_uuid(), family || '-' || n, 'inoculated',
            (SELECT id FROM strain WHERE grower_id = $1), 1, (SELECT id FROM container_size WHERE grower_id = $1),
            current_date - 200, $2, $4::int
       FROM generate_series(1, $3::int) n CROSS JOIN (VALUES ('A'), ('B')) AS two(family)`,
    [growerId, staff, lots, JARS_PER_LOT],
  );
  await sql(
    `INSERT INTO jar (grower_id, id, code, lot_id, serial, strain_id, generation, size_id, state, made_on, made_at, made_g,
                      left_g, ripe_on, shelf_id, shelf_row, shelf_place)
     SELECT $1, gen_random_uuid(), lot.code || '/' || n, lot.id, n, lot.strain_id, 1, lot.size_id, 'ripe', lot.made_on,
            lot.made_on, 600, 600, lot.made_on + 14, shelf.id, 1 + n % 10, 1 + n
       FROM lot CROSS JOIN generate_series(1, $2::int) n
       JOIN (SELECT id, row_number() OVER () AS at FROM shelf WHERE grower_id = $1) shelf
         ON shelf.at = 1 + abs(hashtext(lot.code)) % 20
      WHERE lot.grower_id = $1`,
    [growerId, JARS_PER_LOT],
  );
  await sql('ANALYZE lot, jar');
  // Every lot but the first of a family is made from one jar of an earlier lot of it.
  await sql(
    `WITH numbered AS (SELECT id, split_part(code, '-', 1) AS family, split_part(code, '-', 2)::int AS n
                         FROM lot WHERE grower_id = $1),
          pair AS (SELECT child.id AS lot_id, mother.id AS mother_id
                     FROM numbered child
                     JOIN numbered elder ON elder.family = child.family AND elder.n = 1 + (child.n - 2) / $2::int
                     JOIN jar mother ON mother.grower_id = $1 AND mother.lot_id = elder.id
                      AND mother.serial = 1 + child.n % $3::int
                    WHERE child.n > 1)
     UPDATE jar SET mother_jar_id = pair.mother_id FROM pair WHERE jar.grower_id = $1 AND jar.lot_id = pair.lot_id`,
    [growerId, DAUGHTERS, JARS_PER_LOT],
  );
  return growerId;
}

/** Processor time of the database's processes so far; 0 where the system does not tell. */
async function databaseCpuMs(dataDir) {
  const pid = (await readFile(join(dataDir, 'postgres', 'postmaster.pid'), 'utf8')).split('\n')[0];
  const processes = (await readdir('/proc').catch(() => [])).filter((name) => /^\d+$/.test(name));
  let ticks = 0;
  for (const name of processes) {
    const stat = await readFile(`/proc/${name}/stat`, 'utf8').catch(() => '');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (fields[1] === pid) ticks += Number(fields[11]) + Number(fields[12]);
  }
  return ticks * 10;
}

async function measure(dataDir, work) {
  await work();
  const times = [];
  const database = await databaseCpuMs(dataDir);
  const own = process.cpuUsage();
  let answer;
  for (let round = 0; round < ROUNDS; round += 1) {
    const started = performance.now();
    answer = await work();
    times.push(performance.now() - started);
  }
  const used = process.cpuUsage(own);
  const perRound = (ms) => Math.round(ms / ROUNDS);
  times.sort((a, b) => a - b);
  return {
    ...answer,
    medianMs: Math.round(times[Math.floor(times.length / 2)]),
    serviceCpuMs: perRound((used.user + used.system) / 1000),
    databaseCpuMs: perRound((await databaseCpuMs(dataDir)) - database),
  };
}

const dataDir = await mkdtemp(join(tmpdir(), 'jarfold-benchmark-'));
const server = await startEmbeddedPostgres({ dataDir });
try {
  const settings = { DATABASE_URL: server.ownerUrl };
  await migrate(settings);
  const superuser = new pg.Client({ connectionString: server.superuserUrl.replace(/postgres$/, 'jarfold') });
  await superuser.connect();
  const sql = (text, values) => superuser.query(text, values);
  const platform = await openPlatform(platformEnvSchema.parse(settings), {
    applicationName: 'jarfold-benchmark',
    log: createLog({ level: 'error' }),
  });
  const recalls = new RecallService(platform.growerDb, systemClock);
  const results = [];
  for (const lots of SIZES) {
    const growerId = await seedGrower(sql, lots);
    await sql('VACUUM ANALYZE');
    const ctx = { growerId, staffId: null, role: 'owner' };
    results.push({
      lots,
      ...(await measure(dataDir, async () => {
        const answer = recallSchema.parse(await recalls.recall(ctx, { code: 'A-1' }));
        return { jars: answer.jars.length, answerKilobytes: Math.round(JSON.stringify(answer).length / 1024) };
      })),
    });
    console.log(JSON.stringify(results.at(-1)));
  }
  const report = {
    jarsPerLot: JARS_PER_LOT,
    rounds: ROUNDS,
    processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
    loadAverage: loadavg()[0],
    results,
  };
  await writeFile(new URL('results/recall.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
  await platform.close();
  await superuser.end();
} finally {
  await server.stop();
  await rm(dataDir, { recursive: true, force: true });
}
