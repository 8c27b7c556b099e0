import {
  addDays,
  type CalendarDay,
  type PlannedCulture,
  type PlannedMove,
  type PlannedPreparation,
  type PlannedStart,
  type PlannedUse,
  type SpawnPlan,
} from '@jarfold/domain';

/** One thing to do on one day. */
export type Work = { readonly day: CalendarDay } & (
  | { readonly kind: 'culture'; readonly culture: PlannedCulture }
  | { readonly kind: 'warm' | 'chill'; readonly moves: readonly PlannedMove[] }
  | { readonly kind: 'prepare'; readonly preparation: PlannedPreparation }
  | { readonly kind: 'inoculate'; readonly start: PlannedStart }
  | { readonly kind: 'spawn'; readonly run: string; readonly uses: readonly PlannedUse[] }
);

/** The order in which a day's work is done: what others wait for first. */
const ORDER = ['culture', 'warm', 'prepare', 'inoculate', 'spawn', 'chill'] as const;

export const WEEK_DAYS = 7;

/** The work of the seven days from the day of the plan on, in the order it is done. */
export function weekWork(plan: SpawnPlan): readonly Work[] {
  const end = addDays(plan.asOf, WEEK_DAYS);
  const work: Work[] = [
    ...plan.cultures.map((culture) => ({ kind: 'culture' as const, day: culture.orderBy, culture })),
    ...plan.preparations.map((preparation) => ({ kind: 'prepare' as const, day: preparation.day, preparation })),
    ...plan.starts.map((start) => ({ kind: 'inoculate' as const, day: start.benchDay, start })),
    ...moves(plan, 'warm'),
    ...moves(plan, 'chill'),
    ...runs(plan),
  ];
  return work
    .filter(({ day }) => day >= plan.asOf && day < end)
    .sort((a, b) => a.day.localeCompare(b.day) || ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
}

function moves(plan: SpawnPlan, kind: 'warm' | 'chill'): Work[] {
  const ofKind = plan.moves.filter((move) => move.kind === kind);
  return unique(ofKind.map(({ day }) => day)).map((day) => ({
    kind,
    day,
    moves: ofKind.filter((move) => move.day === day),
  }));
}

function runs(plan: SpawnPlan): Work[] {
  const uses = plan.uses.flatMap((use) => (use.to.kind === 'run' ? [{ use, run: use.to.run }] : []));
  return unique(uses.map(({ use, run }) => `${use.day} ${run}`)).map((key) => {
    const ofRun = uses.filter(({ use, run }) => `${use.day} ${run}` === key);
    const { use, run } = ofRun[0]!;
    return { kind: 'spawn', day: use.day, run, uses: ofRun.map((each) => each.use) };
  });
}

const unique = <T>(values: readonly T[]): T[] => [...new Set(values)];
