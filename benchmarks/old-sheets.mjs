/**
 * How long the bench log is locked while an old spreadsheet comes in, beside how long the whole bringing in takes, and
 * beside one request of a tablet. One grower; a packaged PostgreSQL with its usual, durable settings.
 *
 *   node benchmarks/old-sheets.mjs [lots] [jars per lot]      (needs `npm run build`; 100 and 50 unless said otherwise)
 */
import { randomUUID } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { cpus, loadavg } from 'node:os';
import { performance } from 'node:perf_hooks';
import { BenchService, FileImporter, OldSheetsService, OldSheetsWork } from '../libs/server/dist/index.js';
import { systemClock, systemIds } from '../libs/server/dist/platform/index.js';
import { readOldSheets } from '../libs/workbook/dist/index.js';
import { withFarmDatabase } from './farm-database.mjs';

const LOTS = Number(process.argv[2] ?? 100);
const JARS_PER_LOT = Number(process.argv[3] ?? 50);
const TABLET_ENTRIES = 50;

async function timed(work) {
  const started = performance.now();
  const value = await work();
  return { value, ms: performance.now() - started };
}

async function makeFarm(sql) {
  const [growerId, staffId, strainId, sizeId] = Array.from({ length: 4 }, () => randomUUID());
  await sql(`INSERT INTO grower (id, name, time_zone) VALUES ($1, 'Farm', 'Europe/Vienna')`, [growerId]);
  await sql('INSERT INTO bench_counter (grower_id) VALUES ($1)', [growerId]);
  await sql('INSERT INTO farm_settings (grower_id) VALUES ($1)', [growerId]);
  await sql(`INSERT INTO staff (grower_id, id, role) VALUES ($1, $2, 'owner')`, [growerId, staffId]);
  await sql(
    `INSERT INTO strain (grower_id, id, short_code, name, species_key) VALUES ($1, $2, 'OY1', 'Oyster', 'other')`,
    [growerId, strainId],
  );
  await sql(`INSERT INTO container_size (grower_id, id, name, volume_ml) VALUES ($1, $2, 'litre', 1000)`, [
    growerId,
    sizeId,
  ]);
  return { growerId, staffId, role: 'owner' };
}

/** A list with a row to a jar, each with a code of its own; one in ten is gone. */
function list() {
  const rows = Array.from({ length: LOTS * JARS_PER_LOT }, (_, at) => {
    const lot = Math.floor(at / JARS_PER_LOT) + 1;
    const gone = at % 10 === 0;
    return `X${at},K${lot},Oyster,1,litre,${gone ? 'mouldy' : 'ripe'},2026-05-01,${gone ? '2026-05-20' : ''}`;
  });
  return Buffer.from(`code,lot,strain,gen,size,state,made on,used on\n${rows.join('\n')}\n`);
}

const read = (bytes, name) => readOldSheets(bytes, name);

await withFarmDatabase(async ({ sql, platform }) => {
  const { growerDb } = platform;
  const ctx = await makeFarm(sql);
  const bench = new BenchService(growerDb, systemClock, systemIds);
  let takeBackLockedMs = 0;
  const service = new OldSheetsService(
    growerDb,
    systemClock,
    systemIds,
    read,
    () => Buffer.alloc(0),
    (ms) => {
      takeBackLockedMs = ms;
    },
  );
  const shown = await timed(() => service.upload(ctx, 'list.csv', list()));
  const { import: row, questions, seen } = shown.value;
  if (questions.length > 0) throw new Error(JSON.stringify(questions));
  await service.bringIn(ctx, row.id, { seen, withoutRefused: false });
  let lockedMs = 0;
  const watch = { afterSwitch: (ms) => (lockedMs = ms) };
  const brought = await timed(() =>
    new FileImporter(growerDb, systemClock, { 'old-records': new OldSheetsWork(systemClock, read, watch) }).bringIn(
      ctx.growerId,
      row.id,
    ),
  );
  if (brought.value !== 'applied') throw new Error(`It was not brought in: ${brought.value}`);
  const { rows } = await sql('SELECT id FROM jar WHERE grower_id = $1 AND gone_on IS NULL LIMIT 50', [ctx.growerId]);
  const entries = Array.from({ length: TABLET_ENTRIES }, (_, at) => ({
    ...{ id: randomUUID(), sequence: at + 1, happenedAt: new Date().toISOString(), kind: 'shaken' },
    payload: { jarIds: [rows[at].id] },
  }));
  const tabletId = randomUUID();
  const tablet = await timed(() =>
    bench.record(ctx, { deviceId: tabletId, sentAt: new Date().toISOString(), entries }),
  );
  const refused = await timed(() => service.takeBack(ctx, row.id).catch((error) => error.message));
  // Undo what the tablet did, so that the file can be taken back.
  const undone = entries.map(({ id }, at) => ({
    ...{ id: randomUUID(), sequence: TABLET_ENTRIES + at + 1, happenedAt: new Date().toISOString(), kind: 'corrected' },
    payload: { entryId: id, reason: 'measured' },
  }));
  await bench.record(ctx, { deviceId: tabletId, sentAt: new Date().toISOString(), entries: undone });
  const taken = await timed(() => service.takeBack(ctx, row.id));
  const report = {
    ...{ lots: LOTS, jars: LOTS * JARS_PER_LOT },
    processors: `${cpus().length} × ${cpus()[0].model.trim()}`,
    loadAverage: loadavg()[0],
    dryRunMs: Math.round(shown.ms),
    bringingInMs: Math.round(brought.ms),
    logLockedMs: lockedMs,
    shareOfTimeLocked: Math.round((lockedMs / brought.ms) * 1000) / 1000,
    tabletRequestOfFiftyMs: Math.round(tablet.ms),
    lockedPerTabletRequest: Math.round((lockedMs / tablet.ms) * 10) / 10,
    refusedTakeBackMs: Math.round(refused.ms),
    takeBackMs: Math.round(taken.ms),
    takeBackLockedMs,
  };
  console.log(JSON.stringify(report, null, 2));
  await writeFile(new URL('results/old-sheets.json', import.meta.url), `${JSON.stringify(report, null, 2)}\n`);
});
