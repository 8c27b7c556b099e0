import { coverageKind, type PlannedPreparation, type RunCoverage, type SpawnPlan } from '@jarfold/domain';
import type { FarmWorkbook } from '../farm/read-farm.js';
import { grainList } from './grain-list.js';
import { counted, mass } from './plan-words.js';
import type { Work } from './week-work.js';

/** The week in one line: what is started, prepared and spawned. */
export function weekInBrief(work: readonly Work[], farm: FarmWorkbook): string {
  const starts = work.flatMap((each) => (each.kind === 'inoculate' ? [each.start] : []));
  const preparations = work.flatMap((each) => (each.kind === 'prepare' ? [each.preparation] : []));
  const runs = new Set(work.flatMap((each) => (each.kind === 'spawn' ? [each.run] : [])));
  const jars = starts.reduce((sum, { containers }) => sum + containers, 0);
  const benchDays = new Set(starts.map(({ benchDay }) => benchDay)).size;
  const parts = [
    jars > 0 ? `${counted(jars, 'jar')} to start on ${counted(benchDays, 'bench day')}` : 'Nothing to start',
    ...preparationBrief(preparations, farm),
    ...(runs.size > 0 ? [`${counted(runs.size, 'run')} to spawn`] : []),
  ];
  return `${parts.join(', ')}.`;
}

function preparationBrief(preparations: readonly PlannedPreparation[], farm: FarmWorkbook): readonly string[] {
  if (preparations.length === 0) return [];
  const lists = preparations.map((preparation) => grainList(preparation, farm));
  const cycles = preparations.reduce((sum, preparation) => sum + preparation.cycles, 0);
  const grainG = lists.reduce((sum, list) => sum + list.grainG, 0);
  return [`${counted(cycles, 'steriliser load')}`, `${mass(grainG)} of ${lists[0]?.grain}`];
}

/** How the runs stand, in one line. */
export function runsInBrief(runs: readonly RunCoverage[]): string {
  if (runs.length === 0) return 'No bulk runs are intended.';
  const count = (kind: ReturnType<typeof coverageKind>) => runs.filter((run) => coverageKind(run) === kind).length;
  const short = count('short');
  const parts = [
    `${count('full')} of ${counted(runs.length, 'run')} reach their target`,
    ...(count('covered') > 0 ? [`${count('covered')} only their minimum`] : []),
    ...(short > 0 ? [`${short} not even that`] : []),
  ];
  return `${parts.join(', ')}.`;
}

/** What the plan costs, and how much better any plan could be. */
export function costInBrief({ cost, bound, gap, exact }: SpawnPlan): string {
  const money = (amount: number) => amount.toFixed(2);
  const shown = `Cost ${money(cost)} in the farm's own money`;
  if (exact || gap <= 1e-9) return `${shown}; proven to be the least.`;
  return `${shown}; no plan can cost less than ${money(bound)} (${(gap * 100).toFixed(1)} % below).`;
}
