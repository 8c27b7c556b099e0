import { runKey, type TableMapping, wordKey } from '@jarfold/domain';
import type { GrowerTx } from '../../platform/index.js';

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

/** Runs of the farm by name and day, cancelled ones apart. */
export async function runsHere(tx: GrowerTx, growerId: string): Promise<ReadonlySet<string>> {
  const rows = await tx.bulkRun.findMany({
    where: { growerId, state: { not: 'cancelled' } },
    select: { name: true, day: true },
  });
  return new Set(rows.map(({ name, day }) => runKey(wordKey(name), day.toISOString().slice(0, 10))));
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

/** What hangs on a run: a run with any of it is not taken back. */
export async function usesOfRun(tx: GrowerTx, growerId: string, runId: string): Promise<number> {
  const draws = await tx.jarDraw.count({ where: { growerId, runId } });
  return draws + (await tx.harvest.count({ where: { growerId, runId } }));
}

/** Only one worker brings a file in, should the job be delivered twice. Ends with the transaction. */
export async function holdImport(tx: GrowerTx, importId: string): Promise<boolean> {
  const rows = await tx.$queryRaw<{ readonly held: boolean }[]>`
    SELECT pg_try_advisory_xact_lock(hashtextextended(${importId}, 0)) AS held`;
  return rows[0]?.held ?? false;
}
