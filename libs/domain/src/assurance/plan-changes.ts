import type { CalendarDay } from '../calendar/calendar-day.js';
import type { PlannedStart, RunCoverage, SpawnPlan } from '../planning/plan.js';
import type { PlanFacts } from './plan-facts.js';

export interface ComparedPlan {
  readonly plan: Pick<SpawnPlan, 'asOf' | 'starts' | 'runs' | 'cost'>;
  /** Null for a plan kept without them. */
  readonly facts: PlanFacts | null;
}

/** Starts of one strain, generation and size on one bench day, before and now. */
export interface StartChange {
  readonly benchDay: CalendarDay;
  readonly strainId: string;
  readonly generation: number;
  readonly sizeId: string;
  readonly before: number;
  readonly now: number;
}

export interface RunChange {
  readonly run: string;
  readonly before: Pick<RunCoverage, 'day' | 'coveredGrams' | 'probability'> | null;
  readonly now: Pick<RunCoverage, 'day' | 'coveredGrams' | 'probability'> | null;
}

/** A fact that differs, and so may be why. */
export type ChangedFact =
  | { readonly kind: 'run-added' | 'run-gone'; readonly subject: string; readonly before: null; readonly now: null }
  | { readonly kind: 'run-moved'; readonly subject: string; readonly before: CalendarDay; readonly now: CalendarDay }
  | {
      readonly kind:
        | 'run-grams'
        | 'run-priority'
        | 'loss-rate'
        | 'days-to-ripe'
        | 'jars-growing'
        | 'jars-ripe'
        | 'jars-chilled';
      readonly subject: string;
      readonly before: number;
      readonly now: number;
    }
  | { readonly kind: 'rhythm'; readonly subject: null; readonly before: null; readonly now: null };

export interface PlanChanges {
  readonly starts: readonly StartChange[];
  readonly runs: readonly RunChange[];
  readonly why: readonly ChangedFact[];
  readonly costBefore: number;
  readonly costNow: number;
}

/** A probability that moved by less is the same to a person. */
const TELLING_POINTS = 0.02;
const TELLING_GRAMS = 1;

/** What is different between two plans from the later one's day on, and the facts that differ between them. */
export function planChanges(before: ComparedPlan, now: ComparedPlan): PlanChanges {
  return {
    starts: startChanges(before.plan, now.plan),
    runs: runChanges(before.plan, now.plan),
    why: before.facts === null || now.facts === null ? [] : changedFacts(before.facts, now.facts, now.plan.asOf),
    costBefore: before.plan.cost,
    costNow: now.plan.cost,
  };
}

/** Days on which both plans speak: before, the later one is silent; a plan's own end is no change. */
function startChanges(before: ComparedPlan['plan'], now: ComparedPlan['plan']): StartChange[] {
  const counts = new Map<string, { -readonly [Key in keyof StartChange]: StartChange[Key] }>();
  const count = (start: PlannedStart, side: 'before' | 'now') => {
    const { benchDay, strainId, generation, sizeId } = start;
    if (benchDay < now.asOf) return;
    const key = [benchDay, strainId, generation, sizeId].join('|');
    const change = counts.get(key) ?? { benchDay, strainId, generation, sizeId, before: 0, now: 0 };
    change[side] += start.containers;
    counts.set(key, change);
  };
  for (const start of before.starts) count(start, 'before');
  for (const start of now.starts) count(start, 'now');
  return [...counts.values()]
    .filter((change) => change.before !== change.now)
    .sort((one, other) => (one.benchDay < other.benchDay ? -1 : one.benchDay > other.benchDay ? 1 : 0));
}

function runChanges(before: ComparedPlan['plan'], now: ComparedPlan['plan']): RunChange[] {
  const old = new Map(before.runs.filter(({ day }) => day >= now.asOf).map((run) => [run.run, run]));
  const fresh = new Map(now.runs.map((run) => [run.run, run]));
  return [...new Set([...old.keys(), ...fresh.keys()])].flatMap((run): RunChange[] => {
    const [was, is] = [old.get(run), fresh.get(run)];
    if (was && is && sameCoverage(was, is)) return [];
    return [{ run, before: was ? told(was) : null, now: is ? told(is) : null }];
  });
}

function sameCoverage(one: RunCoverage, other: RunCoverage): boolean {
  const points = Math.abs((one.probability ?? 0) - (other.probability ?? 0));
  return (
    one.day === other.day && Math.abs(one.coveredGrams - other.coveredGrams) <= TELLING_GRAMS && points < TELLING_POINTS
  );
}

function told({ day, coveredGrams, probability }: RunCoverage): RunChange['now'] {
  return { day, coveredGrams, probability };
}

function changedFacts(before: PlanFacts, now: PlanFacts, asOf: CalendarDay): ChangedFact[] {
  const why: ChangedFact[] = [];
  const old = new Map(before.runs.map((run) => [run.id, run]));
  for (const run of now.runs) {
    const was = old.get(run.id);
    old.delete(run.id);
    if (!was) why.push({ kind: 'run-added', subject: run.id, before: null, now: null });
    else why.push(...changedRun(was, run));
  }
  // A run whose day has come is over, not cancelled.
  for (const run of old.values())
    if (run.day >= asOf) why.push({ kind: 'run-gone', subject: run.id, before: null, now: null });
  for (const strain of now.strains) {
    const was = before.strains.find(({ id }) => id === strain.id);
    if (was) why.push(...changedStrain(was, strain));
  }
  if (before.rhythm !== now.rhythm) why.push({ kind: 'rhythm', subject: null, before: null, now: null });
  return why;
}

function changedRun(was: PlanFacts['runs'][number], is: PlanFacts['runs'][number]): ChangedFact[] {
  const why: ChangedFact[] = [];
  if (was.day !== is.day) why.push({ kind: 'run-moved', subject: is.id, before: was.day, now: is.day });
  if (was.targetGrams !== is.targetGrams || was.minGrams !== is.minGrams)
    why.push({ kind: 'run-grams', subject: is.id, before: was.targetGrams, now: is.targetGrams });
  if (was.priority !== is.priority)
    why.push({ kind: 'run-priority', subject: is.id, before: was.priority, now: is.priority });
  return why;
}

function changedStrain(was: PlanFacts['strains'][number], is: PlanFacts['strains'][number]): ChangedFact[] {
  const kinds = [
    ['loss-rate', was.lossRate, is.lossRate],
    ['days-to-ripe', was.daysToRipe, is.daysToRipe],
    ['jars-growing', was.growing, is.growing],
    ['jars-ripe', was.ripe, is.ripe],
    ['jars-chilled', was.chilled, is.chilled],
  ] as const;
  return kinds.flatMap(([kind, before, now]): ChangedFact[] =>
    before === now ? [] : [{ kind, subject: is.id, before, now }],
  );
}
