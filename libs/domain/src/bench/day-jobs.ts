import { type CalendarDay, daysBetween } from '../calendar/calendar-day.js';
import type { SpawnPlan } from '../planning/plan.js';
import type { LoggedEntry } from './correction.js';
import type { DrawRecord } from './effect.js';

export type JobKind = 'fill' | 'sterilise' | 'inoculate' | 'chill' | 'warm' | 'use' | 'culture';
export type JobUnit = 'containers' | 'cycles' | 'grams' | 'units';

/** Something the plan wants done at the bench, told apart by what it is and not by who does it or with which jar. */
export interface BenchJob {
  /** The same work has the same key in every plan. */
  readonly key: string;
  readonly kind: JobKind;
  /** The earliest day a plan wants it on. */
  readonly day: CalendarDay;
  readonly strainId: string | null;
  readonly generation: number | null;
  readonly sizeId: string | null;
  readonly runId: string | null;
  /** What is moved: the code of a container, or the id of a start. */
  readonly from: string | null;
  /** Where the grams come from, in the plan's order. Another jar may be taken. */
  readonly sources: readonly { readonly from: string; readonly grams: number }[];
  readonly unit: JobUnit;
  readonly wanted: number;
}

export interface JobProgress extends BenchJob {
  /** As much as the log says is done; may be more than was wanted. */
  readonly done: number;
}

/** What has happened since a plan read its facts. */
export interface WorkDone {
  /** Entries that stand: applied, and not taken back. */
  readonly entries: readonly LoggedEntry[];
  readonly draws: readonly Pick<DrawRecord, 'runId' | 'massG'>[];
  readonly jarCode: (jarId: string) => string | undefined;
}

const NONE = { strainId: null, generation: null, sizeId: null, runId: null, from: null, sources: [] };
/** Grams are weighed in tenths; a rest below this is a rounding, not work. */
const LEAST_GRAMS = 0.05;

/** What a plan wants done up to a day, that day included: one job for work of one kind. */
export function jobsOfPlan(plan: SpawnPlan, today: CalendarDay): readonly BenchJob[] {
  const due = <T extends { readonly day: CalendarDay }>(things: readonly T[]) =>
    things.filter(({ day }) => day <= today);
  const starts = due(plan.starts.map((start) => ({ ...start, day: start.benchDay })));
  const cultures = due(plan.cultures.map((culture) => ({ ...culture, day: culture.orderBy })));
  return merged([
    ...due(plan.preparations).flatMap(({ day, cycles, containers }): BenchJob[] => [
      ...containers.map(({ sizeId, count }) => ({
        ...NONE,
        ...{ key: `fill ${sizeId}`, kind: 'fill' as const, day, sizeId, unit: 'containers' as const, wanted: count },
      })),
      { ...NONE, key: 'sterilise', kind: 'sterilise', day, unit: 'cycles', wanted: cycles },
    ]),
    ...starts.map(
      ({ day, strainId, generation, sizeId, containers, mothers }): BenchJob => ({
        ...NONE,
        ...{
          key: `inoculate ${strainId} ${generation} ${sizeId}`,
          kind: 'inoculate',
          day,
          strainId,
          generation,
          sizeId,
        },
        ...{
          sources: mothers.map(({ code, grams }) => ({ from: code, grams })),
          unit: 'containers',
          wanted: containers,
        },
      }),
    ),
    ...due(plan.moves).map(
      ({ day, kind, from, containers }): BenchJob => ({
        ...NONE,
        ...{ key: `${kind} ${from}`, kind, day, from, unit: 'containers', wanted: containers },
      }),
    ),
    ...due(plan.uses).flatMap(({ day, from, grams, to }): BenchJob[] =>
      to.kind === 'start'
        ? []
        : [
            {
              ...NONE,
              ...{ key: `use ${to.run}`, kind: 'use', day, runId: to.run, sources: [{ from, grams }] },
              ...{ unit: 'grams', wanted: grams },
            },
          ],
    ),
    ...cultures.map(
      ({ day, strainId, units }): BenchJob => ({
        ...NONE,
        ...{ key: `culture ${strainId}`, kind: 'culture', day, strainId, generation: 0, unit: 'units', wanted: units },
      }),
    ),
  ]);
}

function merged(jobs: readonly BenchJob[]): readonly BenchJob[] {
  const byKey = new Map<string, BenchJob>();
  for (const job of jobs) {
    const other = byKey.get(job.key);
    byKey.set(job.key, other ? together(other, job) : job);
  }
  return [...byKey.values()].filter(({ wanted }) => wanted > 0);
}

function together(one: BenchJob, other: BenchJob): BenchJob {
  const sources = [...one.sources, ...other.sources];
  const day = daysBetween(one.day, other.day) < 0 ? other.day : one.day;
  return { ...one, day, sources, wanted: one.wanted + other.wanted };
}

/** How much of each kind of work is done, by job key. */
export function workByKey({ entries, draws, jarCode }: WorkDone): ReadonlyMap<string, number> {
  const done = new Map<string, number>();
  const drawn = draws.flatMap(({ runId, massG }) => (runId === null ? [] : [[`use ${runId}`, massG] as const]));
  for (const [key, amount] of [...entries.flatMap((logged) => workOf(logged, jarCode)), ...drawn]) {
    done.set(key, (done.get(key) ?? 0) + amount);
  }
  return done;
}

function workOf({ entry, facts }: LoggedEntry, jarCode: WorkDone['jarCode']): readonly (readonly [string, number])[] {
  switch (entry.kind) {
    case 'grain_filled':
      return entry.payload.fills.map(({ sizeId, count }) => [`fill ${sizeId}`, count]);
    case 'cycle_ended':
      return [['sterilise', 1]];
    case 'inoculated': {
      const { strainId, sizeId, jars } = entry.payload;
      return [[`inoculate ${strainId} ${facts.generation} ${sizeId}`, jars.length]];
    }
    case 'chilled':
      return entry.payload.jarIds.map((id) => [`chill ${jarCode(id) ?? id}`, 1]);
    case 'warmed':
      return entry.payload.jarIds.map((id) => [`warm ${jarCode(id) ?? id}`, 1]);
    case 'culture_made':
      return [[`culture ${entry.payload.strainId}`, 1]];
    case 'received':
      return entry.payload.generation === 0 ? [[`culture ${entry.payload.strainId}`, 1]] : [];
    default:
      return [];
  }
}

/**
 * The day's jobs with what is done of them. A plan that is made anew during the day knows what was done before it and
 * no longer asks for it; so what the first plan of the day asked for and is done stays on the list, ticked off, and what
 * is still open is what the newest plan asks for.
 *
 * @param first jobs of the plan the day began with, and the work since it read its facts
 * @param newest jobs of the newest plan, and the work since it read its own
 */
export function jobsDone(
  first: { readonly jobs: readonly BenchJob[]; readonly since: ReadonlyMap<string, number> },
  newest: { readonly jobs: readonly BenchJob[]; readonly since: ReadonlyMap<string, number> },
): readonly JobProgress[] {
  const open = new Map(newest.jobs.map((job) => [job.key, job]));
  const known = [...newest.jobs, ...first.jobs.filter(({ key }) => !open.has(key))];
  return known
    .map((job) => {
      const done = first.since.get(job.key) ?? 0;
      const left = Math.max(0, (open.get(job.key)?.wanted ?? 0) - (newest.since.get(job.key) ?? 0));
      return { ...job, done, wanted: done + (job.unit === 'grams' && left < LEAST_GRAMS ? 0 : left) };
    })
    .filter(({ wanted }) => wanted > 0);
}
