import { type BenchSettings, type CodedThing, containerValues, type FarmGrain, speciesValues } from '@jarfold/domain';
import type { GrowerTx } from '../platform/index.js';

/** What the rules look up about the farm, read in one go. */
export interface FarmLookups {
  readonly timeZone: string;
  readonly settings: BenchSettings;
  readonly staffIds: ReadonlySet<string>;
}

interface LookupRows {
  readonly time_zone: string;
  readonly grain: string | null;
  readonly target_moisture: number | null;
  readonly staff: readonly string[] | null;
  readonly shelves: readonly string[] | null;
  readonly strains:
    | readonly {
        readonly id: string;
        readonly short_code: string;
        readonly species_key: string;
        readonly last_generation: number | null;
        readonly may_be_chilled: boolean | null;
      }[]
    | null;
  readonly sizes: readonly { readonly id: string; readonly volume_ml: number; readonly ripe_g: number | null }[] | null;
  readonly runs:
    | readonly { readonly id: string; readonly state: string; readonly strain_ids: readonly string[] }[]
    | null;
}

const STARTING_GRAIN = 'rye';
/** Only the rates of a species are looked up here, and they do not depend on a container's grams. */
const ANY_RIPE_GRAMS = 1000;

/**
 * Reads staff, strains, sizes and shelves of the farm, and the named runs. Somebody who has left counts: a tablet may
 * send today what that person did last week.
 */
export async function readLookups(tx: GrowerTx, growerId: string, runIds: readonly string[]): Promise<FarmLookups> {
  const [row] = await tx.$queryRaw<LookupRows[]>`
    SELECT g.time_zone, f.grain, f.target_moisture::float8 AS target_moisture,
      (SELECT json_agg(s.id) FROM staff s WHERE s.grower_id = g.id) AS staff,
      (SELECT json_agg(s.id) FROM shelf s WHERE s.grower_id = g.id) AS shelves,
      (SELECT json_agg(json_build_object('id', s.id, 'short_code', s.short_code, 'species_key', s.species_key,
          'last_generation', s.last_generation, 'may_be_chilled', s.may_be_chilled))
        FROM strain s WHERE s.grower_id = g.id) AS strains,
      (SELECT json_agg(json_build_object('id', c.id, 'volume_ml', c.volume_ml, 'ripe_g', c.ripe_g))
        FROM container_size c WHERE c.grower_id = g.id) AS sizes,
      (SELECT json_agg(json_build_object('id', r.id, 'state', r.state, 'strain_ids', coalesce(
          (SELECT json_agg(rs.strain_id) FROM bulk_run_strain rs
           WHERE rs.grower_id = r.grower_id AND rs.run_id = r.id), '[]'::json)))
        FROM bulk_run r WHERE r.grower_id = g.id AND r.id = ANY(${[...runIds]}::uuid[])) AS runs
    FROM grower g LEFT JOIN farm_settings f ON f.grower_id = g.id WHERE g.id = ${growerId}::uuid`;
  if (!row) throw new Error(`Grower ${growerId} does not exist.`);
  return { timeZone: row.time_zone, staffIds: new Set(row.staff), settings: settingsFromRows(row) };
}

function settingsFromRows(row: LookupRows): BenchSettings {
  const grain: FarmGrain = { grainKey: row.grain ?? STARTING_GRAIN, targetMoisture: row.target_moisture };
  const strains = new Map(row.strains?.map((strain) => [strain.id, strain]));
  const sizes = new Map(row.sizes?.map((size) => [size.id, size]));
  const shelves = new Set(row.shelves);
  const runs = new Map(row.runs?.map((run) => [run.id, run]));
  return {
    strain: (id) => {
      const strain = strains.get(id);
      if (!strain) return undefined;
      const usual = speciesValues(strain.species_key, ANY_RIPE_GRAMS);
      return {
        shortCode: strain.short_code,
        lastGeneration: strain.last_generation ?? usual.lastGeneration.value,
        mayBeChilled: strain.may_be_chilled ?? usual.mayBeChilled.value,
      };
    },
    size: (id) => {
      const size = sizes.get(id);
      if (!size) return undefined;
      return { ripeG: containerValues({ volumeMl: size.volume_ml, ripeGrams: size.ripe_g }, grain).ripeGrams.value };
    },
    hasShelf: (id) => shelves.has(id),
    run: (id) => {
      const run = runs.get(id);
      return run && { strainIds: run.strain_ids, open: run.state === 'planned' };
    },
  };
}

export interface CodeOwner {
  readonly named: CodedThing;
  readonly code: string;
  readonly id: string;
}

/**
 * Who carries codes already: any lot, batch or cycle whose code begins with a prefix such as `OY3-26W48`, and any lot
 * or jar with exactly one of the codes. A jar's code follows its lot's unless it came from outside with one of its own,
 * so only received jars can stand in the way of a prefix.
 */
export async function codeOwners(
  tx: GrowerTx,
  growerId: string,
  { prefixes, codes }: { readonly prefixes: readonly string[]; readonly codes: readonly string[] },
): Promise<CodeOwner[]> {
  const patterns = prefixes.map((prefix) => `${prefix}-%`);
  return tx.$queryRaw<CodeOwner[]>`
    SELECT 'lot' AS named, code, id::text FROM lot WHERE grower_id = ${growerId}::uuid
      AND (code LIKE ANY(${patterns}::text[]) OR code = ANY(${[...codes]}::text[]))
    UNION ALL
    SELECT 'jar', code, id::text FROM jar WHERE grower_id = ${growerId}::uuid AND code = ANY(${[...codes]}::text[])
    UNION ALL
    SELECT 'jar', j.code, j.id::text FROM lot l JOIN jar j ON j.grower_id = l.grower_id AND j.lot_id = l.id
      WHERE l.grower_id = ${growerId}::uuid AND l.origin = 'received' AND j.code LIKE ANY(${patterns}::text[])
    UNION ALL
    SELECT 'grainBatch', code, id::text FROM grain_batch
      WHERE grower_id = ${growerId}::uuid AND code LIKE ANY(${patterns}::text[])
    UNION ALL
    SELECT 'cycle', code, id::text FROM steriliser_cycle
      WHERE grower_id = ${growerId}::uuid AND code LIKE ANY(${patterns}::text[])`;
}
