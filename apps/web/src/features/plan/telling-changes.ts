import type { PlanChangesJson } from '@jarfold/contracts';
import { addDays } from '@jarfold/domain';

type StartChange = PlanChangesJson['starts'][number];
type RunChange = PlanChangesJson['runs'][number];

/** What is read first, and what is folded away behind it. */
export interface Told<Change> {
  readonly first: readonly Change[];
  readonly rest: readonly Change[];
}

/** A chance that moves by less decides nothing. */
const TELLING_POINTS = 0.05;
/** What is prepared now lies in so many days; later starts are planned anew before they come. */
const NEAR_DAYS = 14;

/** Runs that come, go, move or become clearly more or less likely, those that lose most first; then those with other grams only. */
export function tellingRuns(runs: readonly RunChange[]): Told<RunChange> {
  const first = runs.filter((run) => isTelling(run)).sort((one, other) => gain(one) - gain(other));
  return { first, rest: runs.filter((run) => !isTelling(run)) };
}

function isTelling({ before, now }: RunChange): boolean {
  if (before === null || now === null || before.day !== now.day) return true;
  return Math.abs((now.probability ?? 0) - (before.probability ?? 0)) >= TELLING_POINTS;
}

const gain = ({ before, now }: RunChange): number => (now?.probability ?? 0) - (before?.probability ?? 0);

/** Starts of the first two weeks in which anything changes, and the later ones. */
export function nearStarts(starts: readonly StartChange[]): Told<StartChange> {
  const days = starts.map(({ benchDay }) => benchDay).sort();
  const [soonest] = days;
  if (soonest === undefined) return { first: [], rest: [] };
  const far = addDays(soonest, NEAR_DAYS);
  return {
    first: starts.filter(({ benchDay }) => benchDay < far),
    rest: starts.filter(({ benchDay }) => benchDay >= far),
  };
}
