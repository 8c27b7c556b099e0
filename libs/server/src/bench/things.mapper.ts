import type {
  BenchThings,
  CalendarDay,
  ContainerPool,
  DrawRecord,
  Harvest,
  Jar,
  LoggedGrainBatch,
  Lot,
  ShelfPlace,
  SteriliserCycle,
} from '@jarfold/domain';
import { GRAIN_STEPS, jarState } from '@jarfold/domain';

/**
 * Between the log's things and their rows as JSON (see rows.ts). Every member of a thing has a column, so that a thing
 * read back is the thing that was written.
 */
type Json = Readonly<Record<string, unknown>>;

const iso = (atMs: number | null): string | null => (atMs === null ? null : new Date(atMs).toISOString());
const ms = (text: unknown): number | null => (text === null ? null : Date.parse(text as string));
const exactMs = (text: unknown): number => Date.parse(text as string);

export function jarRow(jar: Jar): Json {
  return {
    id: jar.id,
    code: jar.code,
    lot_id: jar.lotId,
    serial: jar.serial,
    strain_id: jar.strainId,
    generation: jar.generation,
    size_id: jar.sizeId,
    mother_jar_id: jar.motherJarId,
    state: jarState(jar),
    blank: jar.blank,
    made_on: jar.madeOn,
    made_at: iso(jar.madeAtMs),
    made_g: jar.madeG,
    drawn_g: jar.drawnG,
    left_g: jar.leftG,
    discarded_g: jar.discardedG,
    made_g_estimated: jar.madeGEstimated,
    colonised_share: jar.colonisedShare,
    colonised_at: iso(jar.colonisedAtMs),
    ripe_on: jar.ripeOn,
    chilled_on: jar.chilledOn,
    warmed_on: jar.warmedOn,
    cold_changed_at: iso(jar.coldChangedAtMs),
    opened_on: jar.openedOn,
    kept_as_mother: jar.keptAsMother,
    mother_changed_at: iso(jar.motherChangedAtMs),
    contaminated_on: jar.contaminatedOn,
    finding: jar.finding,
    finding_sure: jar.findingSure,
    shaken_on: jar.shakenOn,
    shakes: jar.shakes,
    regrowth_on: jar.regrowthOn,
    regrowth_days: jar.regrowthDays,
    regrew: jar.regrew,
    shelf_id: jar.place?.shelfId ?? null,
    shelf_row: jar.place?.row ?? null,
    shelf_place: jar.place?.place ?? null,
    placed_at: iso(jar.placedAtMs),
    gone_at: iso(jar.goneAtMs),
    gone_on: jar.goneOn,
    gone_reason: jar.goneAs,
  };
}

export function jarFromRow(row: Json): Jar {
  return {
    id: row.id as string,
    lotId: row.lot_id as string,
    serial: row.serial as number,
    code: row.code as string,
    strainId: row.strain_id as string | null,
    generation: row.generation as number | null,
    sizeId: row.size_id as string,
    blank: row.blank as boolean,
    motherJarId: row.mother_jar_id as string | null,
    madeAtMs: exactMs(row.made_at),
    madeOn: row.made_on as CalendarDay,
    madeG: row.made_g as number,
    drawnG: row.drawn_g as number,
    leftG: row.left_g as number,
    discardedG: row.discarded_g as number,
    madeGEstimated: row.made_g_estimated as boolean,
    colonisedShare: row.colonised_share as number | null,
    colonisedAtMs: ms(row.colonised_at),
    ripeOn: row.ripe_on as CalendarDay | null,
    chilledOn: row.chilled_on as CalendarDay | null,
    warmedOn: row.warmed_on as CalendarDay | null,
    coldChangedAtMs: ms(row.cold_changed_at),
    openedOn: row.opened_on as CalendarDay | null,
    keptAsMother: row.kept_as_mother as boolean,
    motherChangedAtMs: ms(row.mother_changed_at),
    contaminatedOn: row.contaminated_on as CalendarDay | null,
    finding: row.finding as Jar['finding'],
    findingSure: row.finding_sure as boolean | null,
    shakenOn: row.shaken_on as CalendarDay | null,
    shakes: row.shakes as number,
    regrowthOn: row.regrowth_on as CalendarDay | null,
    regrowthDays: row.regrowth_days as number | null,
    regrew: row.regrew as boolean | null,
    place: placeFromRow(row),
    placedAtMs: ms(row.placed_at),
    goneAtMs: ms(row.gone_at),
    goneOn: row.gone_on as CalendarDay | null,
    goneAs: row.gone_reason as Jar['goneAs'],
  };
}

function placeFromRow(row: Json): ShelfPlace | null {
  if (row.shelf_id === null) return null;
  return {
    shelfId: row.shelf_id as string,
    ...(row.shelf_row === null ? {} : { row: row.shelf_row as number }),
    ...(row.shelf_place === null ? {} : { place: row.shelf_place as number }),
  };
}

export function lotRow(lot: Lot): Json {
  return {
    id: lot.id,
    code: lot.code,
    origin: lot.origin,
    strain_id: lot.strainId,
    generation: lot.generation,
    size_id: lot.sizeId,
    container: lot.container,
    carrier: lot.carrier,
    grain_batch_id: lot.grainBatchId,
    cycle_id: lot.cycleId,
    made_on: lot.madeOn,
    made_by: lot.madeBy,
    jars_made: lot.jarsMade,
    supplier: lot.supplier,
  };
}

export function lotFromRow(row: Json): Lot {
  return {
    id: row.id as string,
    code: row.code as string,
    origin: row.origin as Lot['origin'],
    strainId: row.strain_id as string | null,
    generation: row.generation as number | null,
    sizeId: row.size_id as string,
    container: row.container as Lot['container'],
    carrier: row.carrier as Lot['carrier'],
    grainBatchId: row.grain_batch_id as string | null,
    cycleId: row.cycle_id as string | null,
    madeOn: row.made_on as CalendarDay,
    madeBy: row.made_by as string,
    jarsMade: row.jars_made as number,
    supplier: row.supplier as string | null,
  };
}

export function grainBatchRow(batch: LoggedGrainBatch): Json {
  return {
    id: batch.id,
    code: batch.code,
    grain: batch.grain,
    begun_on: batch.begunOn,
    stage: GRAIN_STEPS.findLast((step) => batch.stepAtMs[step] !== undefined) ?? GRAIN_STEPS[0],
    step_at: Object.fromEntries(Object.entries(batch.stepAtMs).map(([step, atMs]) => [step, iso(atMs ?? null)])),
    dry_grain_g: batch.dryGrainG,
    hydrated_g: batch.hydratedG,
    moisture_share: batch.moistureShare,
    filled: batch.filled,
    loaded: batch.loaded,
  };
}

export function grainBatchFromRow(row: Json): LoggedGrainBatch {
  const stepAt = Object.entries(row.step_at as Record<string, string>);
  return {
    id: row.id as string,
    code: row.code as string,
    grain: row.grain as string,
    begunOn: row.begun_on as CalendarDay,
    dryGrainG: row.dry_grain_g as number | null,
    hydratedG: row.hydrated_g as number | null,
    moistureShare: row.moisture_share as number | null,
    stepAtMs: Object.fromEntries(stepAt.map(([step, at]) => [step, exactMs(at)])),
    filled: row.filled as LoggedGrainBatch['filled'],
    loaded: row.loaded as LoggedGrainBatch['loaded'],
  };
}

export function cycleRow(cycle: SteriliserCycle): Json {
  return {
    id: cycle.id,
    code: cycle.code,
    steriliser: cycle.steriliser,
    method: cycle.method,
    stage: cycleStage(cycle),
    started_on: cycle.startedOn,
    started_at: iso(cycle.startedAtMs),
    held_at: iso(cycle.heldAtMs),
    ended_at: iso(cycle.endedAtMs),
    cooled_at: iso(cycle.cooledAtMs),
    hold_min: cycle.holdMin,
    temperature_c: cycle.temperatureC,
    gauge_pressure_kpa: cycle.gaugePressureKpa,
    loads: cycle.loads,
    used: cycle.used,
  };
}

function cycleStage(cycle: SteriliserCycle): string {
  if (cycle.cooledAtMs !== null) return 'cooled';
  if (cycle.endedAtMs !== null) return 'ended';
  return cycle.heldAtMs === null ? 'started' : 'held';
}

export function cycleFromRow(row: Json): SteriliserCycle {
  return {
    id: row.id as string,
    code: row.code as string,
    method: row.method as SteriliserCycle['method'],
    steriliser: row.steriliser as string | null,
    loads: row.loads as SteriliserCycle['loads'],
    used: row.used as SteriliserCycle['used'],
    startedAtMs: exactMs(row.started_at),
    startedOn: row.started_on as CalendarDay,
    heldAtMs: ms(row.held_at),
    endedAtMs: ms(row.ended_at),
    cooledAtMs: ms(row.cooled_at),
    holdMin: row.hold_min as number | null,
    temperatureC: row.temperature_c as number | null,
    gaugePressureKpa: row.gauge_pressure_kpa as number | null,
  };
}

export function poolRow(pool: ContainerPool): Json {
  return { size_id: pool.id, clean_empty: pool.cleanEmpty };
}

export function poolFromRow(row: Json): ContainerPool {
  return { id: row.size_id as string, cleanEmpty: row.clean_empty as number | null };
}

export function harvestRow(harvest: Harvest): Json {
  return {
    id: harvest.id,
    run_id: harvest.runId,
    flush: harvest.flush,
    mass_g: harvest.massG,
    harvested_on: harvest.harvestedOn,
  };
}

export function harvestFromRow(row: Json): Harvest {
  return {
    id: row.id as string,
    runId: row.run_id as string,
    flush: row.flush as number,
    massG: row.mass_g as number,
    harvestedOn: row.harvested_on as CalendarDay,
  };
}

export function drawRow(draw: DrawRecord): Json {
  return {
    entry_id: draw.entryId,
    jar_id: draw.jarId,
    mass_g: draw.massG,
    estimated: draw.estimated,
    lot_id: draw.lotId,
    run_id: draw.runId,
    drawn_on: draw.day,
  };
}

export type ThingFromRow = { readonly [K in keyof BenchThings]: (row: Json) => BenchThings[K] };

export const thingFromRow: ThingFromRow = {
  jar: jarFromRow,
  lot: lotFromRow,
  grainBatch: grainBatchFromRow,
  cycle: cycleFromRow,
  pool: poolFromRow,
  harvest: harvestFromRow,
};
