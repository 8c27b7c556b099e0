import { runKey, type TableMapping } from '@jarfold/domain';
import { dayFromColumn, type GrowerTx } from '../../platform/index.js';

/** Which of the codes jars and lots of the farm carry already, in small letters. */
export async function codesHere(
  tx: GrowerTx,
  growerId: string,
  codes: { readonly jars: readonly string[]; readonly lots: readonly string[] },
): Promise<{ readonly jarCodes: ReadonlySet<string>; readonly lotCodes: ReadonlySet<string> }> {
  const rows = await tx.$queryRaw<{ readonly named: 'jar' | 'lot'; readonly code: string }[]>`
    SELECT 'jar' AS named, lower(code) AS code FROM jar
     WHERE grower_id = ${growerId}::uuid AND lower(code) = ANY(${[...codes.jars]}::text[])
    UNION ALL
    SELECT 'lot', lower(code) FROM lot
     WHERE grower_id = ${growerId}::uuid AND lower(code) = ANY(${[...codes.lots]}::text[])`;
  const of = (named: string) => new Set(rows.filter((row) => row.named === named).map(({ code }) => code));
  return { jarCodes: of('jar'), lotCodes: of('lot') };
}

/** Ids of the farm's runs by name and day, cancelled ones apart. */
export async function runsHere(tx: GrowerTx, growerId: string): Promise<ReadonlyMap<string, string>> {
  const rows = await tx.bulkRun.findMany({
    where: { growerId, state: { not: 'cancelled' } },
    select: { id: true, name: true, day: true },
    orderBy: { id: 'desc' },
  });
  return new Map(rows.map(({ id, name, day }) => [runKey(name, dayFromColumn(day)), id]));
}

/** Marks of the rows without a code that files brought which are still applied. */
export async function marksHere(tx: GrowerTx, growerId: string): Promise<ReadonlySet<string>> {
  const rows = await tx.$queryRaw<{ readonly mark: string }[]>`
    SELECT jsonb_array_elements_text(content->'marks') AS mark FROM file_import
     WHERE grower_id = ${growerId}::uuid AND kind = 'old-records' AND state = 'applied'
       AND jsonb_typeof(content->'marks') = 'array'`;
  return new Set(rows.map(({ mark }) => mark));
}

/** What the farm said of tables with these headings. */
export async function rememberedMappings(
  tx: GrowerTx,
  growerId: string,
  headings: readonly string[],
): Promise<ReadonlyMap<string, unknown>> {
  const rows = await tx.importMapping.findMany({ where: { growerId, headings: { in: [...headings] } } });
  return new Map(rows.map((row) => [row.headings, row.mapping]));
}

export async function rememberMapping(
  tx: GrowerTx,
  growerId: string,
  headings: string,
  mapping: TableMapping,
  updatedAt: Date,
): Promise<void> {
  const json = JSON.parse(JSON.stringify(mapping));
  await tx.importMapping.upsert({
    where: { growerId_headings: { growerId, headings } },
    create: { growerId, headings, mapping: json, updatedAt },
    update: { mapping: json, updatedAt },
  });
}

/** Standing entries that a batch brought, newest first. */
export async function standingEntries(tx: GrowerTx, growerId: string, deviceId: string): Promise<readonly string[]> {
  const rows = await tx.$queryRaw<{ readonly id: string }[]>`
    SELECT entry.id::text AS id FROM bench_entry entry
     WHERE entry.grower_id = ${growerId}::uuid AND entry.device_id = ${deviceId}::uuid AND entry.outcome = 'applied'
       AND NOT EXISTS (SELECT FROM bench_void void
                        WHERE void.grower_id = entry.grower_id AND void.entry_id = entry.id)
     ORDER BY entry.position DESC`;
  return rows.map(({ id }) => id);
}

/** Something that was recorded about a jar or lot of a batch since, by somebody else than the batch; null for nothing. */
export async function touchedSince(
  tx: GrowerTx,
  growerId: string,
  deviceId: string,
): Promise<{ readonly code: string; readonly day: string } | null> {
  const rows = await tx.$queryRaw<{ readonly code: string; readonly day: string }[]>`
    SELECT coalesce(jar.code, lot.code, '') AS code, later.effective_day::text AS day
      FROM bench_entry own
      JOIN bench_entry_thing mine ON mine.grower_id = own.grower_id AND mine.position = own.position
      JOIN bench_entry_thing other ON other.grower_id = mine.grower_id AND other.thing_id = mine.thing_id
       AND other.position > mine.position
      JOIN bench_entry later ON later.grower_id = other.grower_id AND later.position = other.position
       AND later.device_id <> own.device_id AND later.outcome = 'applied' AND later.kind <> 'corrected'
      LEFT JOIN jar ON jar.grower_id = other.grower_id AND jar.id = other.thing_id
      LEFT JOIN lot ON lot.grower_id = other.grower_id AND lot.id = other.thing_id
     WHERE own.grower_id = ${growerId}::uuid AND own.device_id = ${deviceId}::uuid
       AND NOT EXISTS (SELECT FROM bench_void void
                        WHERE void.grower_id = later.grower_id AND void.entry_id = later.id)
     LIMIT 1`;
  return rows[0] ?? null;
}

/** What hangs on a run: a run with any of it is not taken back. */
export async function usesOfRun(tx: GrowerTx, growerId: string, runId: string): Promise<number> {
  const draws = await tx.jarDraw.count({ where: { growerId, runId } });
  return draws + (await tx.harvest.count({ where: { growerId, runId } }));
}
