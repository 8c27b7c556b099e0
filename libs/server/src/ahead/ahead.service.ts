import type { Ahead, AheadQuery, HarvestPromise, PromiseQuery } from '@jarfold/contracts';
import {
  addDays,
  type Bearing,
  type CalendarDay,
  calendarDayAt,
  dayFromNumber,
  dayNumber,
  demandForecast,
  findSpecies,
  harvestForecast,
  isoWeekday,
  mondayOf,
  runsForHarvest,
  usualMoistures,
  wetRate,
} from '@jarfold/domain';
import { listStrains, readSettings, type StrainRow } from '../farm/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import { listBorneRuns } from '../rates/index.js';
import { type BulkRunRow, isBulkRun, listRuns } from '../runs/index.js';
import { bearingJson, bearingsOf, runsToBear } from './bearings.js';

/** Longer ago the farm was another one. */
const MEMORY_DAYS = 364;
/** Nobody promises mushrooms further away than three years, and no more is told of what was to be long ago. */
const FARTHEST_PROMISE_DAYS = 3 * 366;

interface Looked {
  readonly asOf: CalendarDay;
  readonly strains: readonly StrainRow[];
  readonly runs: readonly BulkRunRow[];
  readonly bearings: ReadonlyMap<string, Bearing>;
  readonly spawned: Awaited<ReturnType<typeof listBorneRuns>>;
}

/** What lies ahead of a farm: its harvest, its need of spawn, and what a promise asks of it. Reads only. */
export class AheadService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
  ) {}

  /** Expected harvest and spawn, week by week from this week on. */
  async ahead(ctx: GrowerContext, { weeks }: AheadQuery): Promise<Ahead> {
    const { asOf, strains, runs, bearings, spawned } = await this.growerDb.read(ctx, (tx) => this.look(tx, ctx));
    const monday = mondayOf(asOf);
    const planned = runs.filter(({ state, day }) => state === 'planned' && day >= asOf);
    const bearing = runsToBear(spawned, planned, bearings, asOf);
    const harvest = harvestForecast(bearing, dayNumber(monday), weeks);
    const behind = spawnedWeeks(runs, monday);
    const demand = demandForecast(
      behind.map(({ grams }) => grams),
      weeks,
    );
    return {
      asOf,
      weeks: harvest.map(({ mondayDay, expectedG, low, high, runs: names }, i) => {
        const from = dayFromNumber(mondayDay);
        const expected = demand.kind === 'forecast' ? demand.weeks[i]! : null;
        return {
          ...{ monday: from, harvest: { expectedG, low, high, runs: names } },
          plannedSpawnG: gramsInWeek(planned, from),
          expectedSpawnG: expected === null ? null : { value: expected.value, low: expected.low, high: expected.high },
        };
      }),
      bearings: strains
        .filter(({ archived }) => !archived)
        .map((strain) => bearingJson(strain, bearings.get(strain.id)!)),
      spawned: behind,
      demand:
        demand.kind === 'forecast'
          ? {
              ...{ kind: demand.kind, method: demand.method, next: demand.weeks[0]! },
              tried: demand.tried.map(({ method, meanAbsoluteError }) => ({
                ...{ method, meanAbsoluteErrorG: meanAbsoluteError },
              })),
            }
          : demand,
    };
  }

  /**
   * What promised kilograms need: runs with their substrate and spawn, and what can no longer be met.
   * @throws AppError `not-found` for a strain the farm does not have; `invalid-input` for a day too far from today
   */
  async promise(ctx: GrowerContext, query: PromiseQuery): Promise<HarvestPromise> {
    const { asOf, strains, runs, bearings } = await this.growerDb.read(ctx, (tx) => this.look(tx, ctx));
    const strain = strains.find(({ id }) => id === query.strainId);
    if (strain === undefined) throw new AppError('not-found', 'There is no such strain on this farm.');
    const bearing = bearings.get(strain.id)!;
    const efficiency = query.care === 'low' ? bearing.efficiency.low : bearing.efficiency.value;
    const weekdays = runWeekdays(runs);
    const first = dayNumber(query.day);
    if (Math.abs(first - dayNumber(asOf)) > FARTHEST_PROMISE_DAYS) throw tooFar(asOf);
    const promises = Array.from({ length: query.weeks }, (_, i) => ({
      ...{ id: dayFromNumber(first + 7 * i), day: first + 7 * i, freshG: query.kilograms * 1000 },
    }));
    const habit = {
      ...{ efficiency, shares: bearing.shares, lossRate: 0, keepsDays: query.keepsDays },
      daysToFirstHarvest: Math.round(bearing.daysToFirstHarvest),
      daysBetweenFlushes: Math.round(bearing.daysBetweenFlushes),
    };
    const maySpawn = (day: number) => weekdays.includes(isoWeekday(dayFromNumber(day)));
    const needed = runsForHarvest(promises, habit, dayNumber(asOf), maySpawn);
    const { substrateMoisture } = usualMoistures;
    const spawnRate = usualSpawnRate(runs, strain);
    return {
      ...{ asOf, bearing: bearingJson(strain, bearing), efficiency, weekdays, substrateMoisture, spawnRate },
      runs: needed.runs.map(({ day, substrateDryG, serves }) => {
        const substrateWetG = substrateDryG / (1 - substrateMoisture);
        return {
          ...{ day: dayFromNumber(day), substrateDryG, substrateWetG, spawnG: substrateWetG * spawnRate },
          serves: serves as CalendarDay[],
        };
      }),
      tooLate: needed.tooLate.map(({ id, missingG, spawnBy }) => ({
        ...{ day: id as CalendarDay, missingG, spawnBy: dayFromNumber(spawnBy) },
      })),
      surplusG: needed.surplusG,
    };
  }

  private async look(tx: GrowerTx, { growerId }: GrowerContext): Promise<Looked> {
    const { timeZone } = await readSettings(tx, growerId);
    const asOf = calendarDayAt(this.clock.now().getTime(), timeZone);
    const strains = await listStrains(tx, growerId);
    const from = addDays(asOf, -MEMORY_DAYS);
    const spawned = await listBorneRuns(tx, growerId, { from, strainId: null });
    // An order bears no fruit, and what others asked for once says nothing of the farm's own substrate.
    const runs = (await listRuns(tx, growerId, { from, state: 'all' })).filter(isBulkRun);
    return { asOf, strains, runs, spawned, bearings: bearingsOf(spawned, strains, asOf) };
  }
}

function tooFar(asOf: CalendarDay): AppError {
  const [from, to] = [addDays(asOf, -FARTHEST_PROMISE_DAYS), addDays(asOf, FARTHEST_PROMISE_DAYS)];
  const detail = `The day is too far away: give one from ${from} to ${to}.`;
  return new AppError('invalid-input', detail, { errors: [{ in: 'query', pointer: '/day', detail }] });
}

/** Spawn that runs which were made asked for, by whole weeks behind; weeks without a run are 0. */
function spawnedWeeks(runs: readonly BulkRunRow[], monday: CalendarDay): { monday: CalendarDay; grams: number }[] {
  const done = runs.filter(({ state, day }) => state === 'done' && day < monday);
  const [first] = done;
  if (first === undefined) return [];
  const from = dayNumber(mondayOf(first.day));
  const weeks = (dayNumber(monday) - from) / 7;
  return Array.from({ length: weeks }, (_, i) => {
    const start = dayFromNumber(from + 7 * i);
    return { monday: start, grams: gramsInWeek(done, start) };
  });
}

function gramsInWeek(runs: readonly BulkRunRow[], monday: CalendarDay): number {
  const end = addDays(monday, 7);
  return runs.reduce((sum, { day, targetGrams }) => (day >= monday && day < end ? sum + targetGrams : sum), 0);
}

/** Weekdays on which the farm makes bulk runs. */
function runWeekdays(runs: readonly BulkRunRow[]): number[] {
  const own = new Set(runs.filter(({ state }) => state !== 'cancelled').map(({ day }) => isoWeekday(day)));
  return own.size === 0 ? [1, 2, 3, 4, 5, 6, 7] : [...own].sort();
}

/** Ripe spawn per wet substrate: as in the strain's latest run, else as is published for its species. */
function usualSpawnRate(runs: readonly BulkRunRow[], strain: StrainRow): number {
  const latest = runs.filter(({ state, strainIds }) => state !== 'cancelled' && strainIds.includes(strain.id)).at(-1);
  const { value } = findSpecies(strain.speciesKey).profile.cropping.spawnRate;
  return latest === undefined ? value : wetRate(latest.spawnRate, latest.basis, usualMoistures);
}
