import { addDays, type CalendarDay, mondayOf } from '../calendar/calendar-day.js';
import type {
  Impossibility,
  PlannedCulture,
  PlannedMove,
  PlannedPreparation,
  PlannedStart,
  PlannedUse,
  RunCoverage,
  SpawnPlan,
  StrandedContainer,
} from '../planning/plan.js';

/** How a run stands: its target reached, at least its minimum, or below it. */
export type CoverageKind = 'full' | 'covered' | 'short';

export interface Shortage {
  readonly coverage: RunCoverage;
  readonly kind: 'below-minimum' | 'below-target';
  readonly shortGrams: number;
}

/** One ISO week of a plan as work to do. */
export interface PlanWeek {
  readonly monday: CalendarDay;
  readonly sunday: CalendarDay;
  readonly benchDays: readonly { readonly day: CalendarDay; readonly starts: readonly PlannedStart[] }[];
  readonly preparations: readonly PlannedPreparation[];
  readonly cultures: readonly PlannedCulture[];
  readonly moves: readonly PlannedMove[];
  /** Runs whose day, or one of whose uses, lies in the week. */
  readonly runs: readonly { readonly coverage: RunCoverage; readonly uses: readonly PlannedUse[] }[];
  /** Over the whole plan, soonest first. */
  readonly shortages: readonly Shortage[];
  readonly stranded: readonly StrandedContainer[];
  readonly impossible: readonly Impossibility[];
}

/** Half a gram: below it a difference between planned and wanted grams is rounding, not a shortage. */
const GRAMS_TOLERANCE = 0.5;
/**
 * And one per cent of what is wanted: planned grams are expected ones of jars that are weighed out by hand, and nobody
 * should move a run for six grams in ten kilograms. Our own value, no source.
 */
const SHARE_TOLERANCE = 0.01;

/**
 * Cuts one ISO week out of a plan. Work due earlier but still undone does not appear: a plan begins on the day it is
 * made and holds nothing before that.
 * @param day any day of the week wanted.
 */
export function weekOfPlan(plan: SpawnPlan, day: CalendarDay): PlanWeek {
  const monday = mondayOf(day);
  const sunday = addDays(monday, 6);
  const within = (candidate: CalendarDay) => candidate >= monday && candidate <= sunday;
  return {
    monday,
    sunday,
    benchDays: benchDays(plan.starts.filter((start) => within(start.benchDay))),
    preparations: plan.preparations.filter((preparation) => within(preparation.day)).sort(byDay),
    cultures: plan.cultures.filter((culture) => within(culture.orderBy)),
    moves: plan.moves.filter((move) => within(move.day)).sort(byDay),
    runs: runsOfWeek(plan, within),
    shortages: shortages(plan.runs),
    stranded: [...plan.stranded].sort((left, right) => left.expires.localeCompare(right.expires)),
    impossible: plan.impossible,
  };
}

/** How a run stands against what it wants, to what weighing out by hand can tell. */
export function coverageKind(run: RunCoverage): CoverageKind {
  if (reaches(run.coveredGrams, run.targetGrams)) return 'full';
  return reaches(run.coveredGrams, run.minGrams) ? 'covered' : 'short';
}

function reaches(grams: number, wanted: number): boolean {
  return grams >= wanted - Math.max(GRAMS_TOLERANCE, wanted * SHARE_TOLERANCE);
}

/** Grams missing to its minimum when it is short, otherwise to its target. */
export function shortGrams(run: RunCoverage): number {
  const kind = coverageKind(run);
  if (kind === 'full') return 0;
  return (kind === 'short' ? run.minGrams : run.targetGrams) - run.coveredGrams;
}

function benchDays(starts: readonly PlannedStart[]): PlanWeek['benchDays'] {
  const days = [...new Set(starts.map((start) => start.benchDay))].sort();
  return days.map((day) => ({ day, starts: starts.filter((start) => start.benchDay === day) }));
}

function runsOfWeek(plan: SpawnPlan, within: (day: CalendarDay) => boolean): PlanWeek['runs'] {
  const usesOf = (run: string) => plan.uses.filter((use) => use.to.kind === 'run' && use.to.run === run);
  return plan.runs
    .map((coverage) => ({ coverage, uses: usesOf(coverage.run) }))
    .filter(({ coverage, uses }) => within(coverage.day) || uses.some((use) => within(use.day)))
    .sort((left, right) => byDay(left.coverage, right.coverage));
}

function shortages(runs: readonly RunCoverage[]): Shortage[] {
  return runs
    .filter((coverage) => coverageKind(coverage) !== 'full')
    .map((coverage) => ({
      coverage,
      kind: coverageKind(coverage) === 'short' ? ('below-minimum' as const) : ('below-target' as const),
      shortGrams: shortGrams(coverage),
    }))
    .sort((left, right) => byDay(left.coverage, right.coverage));
}

function byDay(left: { readonly day: CalendarDay }, right: { readonly day: CalendarDay }): number {
  return left.day < right.day ? -1 : left.day > right.day ? 1 : 0;
}
