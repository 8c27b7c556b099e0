import type {
  CalendarDay,
  PlannedMove,
  PlannedPreparation,
  PlannedStart,
  PlannedUse,
  SpawnPlan,
} from '@jarfold/domain';
import type { FarmWorkbook } from '../farm/read-farm.js';
import { grainList } from './grain-list.js';
import { counted, litres, mass, shortDay } from './plan-words.js';
import { listed } from './short-codes.js';
import { type SourceName, sourceNames } from './sources-of.js';
import type { Work } from './week-work.js';

/** One line of a work list, in words a grower can follow. */
export interface WorkLine {
  readonly day: CalendarDay;
  readonly work: string;
  readonly what: string;
  readonly from: string;
  readonly purpose: string;
}

export function describeWork(work: readonly Work[], plan: SpawnPlan, farm: FarmWorkbook): readonly WorkLine[] {
  const source = sourceNames(plan);
  return work.map((each) => ({ day: each.day, ...describe(each, plan, farm, source) }));
}

function describe(work: Work, plan: SpawnPlan, farm: FarmWorkbook, source: SourceName): Omit<WorkLine, 'day'> {
  switch (work.kind) {
    case 'culture': {
      const { strainId, units, readyOn } = work.culture;
      const what = `${counted(units, 'culture')} of ${strainId}`;
      return { work: 'Order culture', what, from: '', purpose: `ready on ${shortDay(readyOn)}` };
    }
    case 'warm':
    case 'chill':
      return describeMoves(work.kind, work.moves, source);
    case 'prepare':
      return describePreparation(work.preparation, farm);
    case 'inoculate':
      return describeStart(work.start, source);
    case 'spawn':
      return describeRun(work.run, work.uses, plan, source);
  }
}

function describeMoves(kind: 'warm' | 'chill', moves: readonly PlannedMove[], source: SourceName) {
  const jars = moves.reduce((sum, { containers }) => sum + containers, 0);
  const from = listed(
    moves.map((move) => ({ code: source(move.from), amount: move.containers === 1 ? '' : String(move.containers) })),
  );
  const purpose = kind === 'chill' ? 'to keep them' : 'to use them';
  return { work: kind === 'chill' ? 'Chill' : 'Warm up', what: counted(jars, 'jar'), from, purpose };
}

function describePreparation(preparation: PlannedPreparation, farm: FarmWorkbook) {
  const { grain, grainG, cookingWaterMl, gypsumG, chalkG } = grainList(preparation, farm);
  const minerals = [gypsumG > 0 ? `gypsum ${mass(gypsumG)}` : '', chalkG > 0 ? `chalk ${mass(chalkG)}` : ''];
  const what = preparation.containers.map(({ sizeId, count }) => counted(count, sizeId)).join(', ');
  return {
    work: 'Prepare',
    what: `${what}: ${counted(preparation.cycles, 'load')}`,
    from: [`${grain} ${mass(grainG)}`, `water ${litres(cookingWaterMl)}`, ...minerals].filter(Boolean).join(', '),
    purpose: `bench day ${shortDay(preparation.benchDay)}`,
  };
}

function describeStart(start: PlannedStart, source: SourceName) {
  return {
    work: 'Inoculate',
    what: `${counted(start.containers, start.sizeId)}, ${start.strainId} G${start.generation}`,
    from: motherList(start, source),
    purpose: `${feedList(start)}; latest ${shortDay(start.lastSafeDay)}`,
  };
}

/** Mothers with the grams each gives. */
export function motherList({ mothers }: PlannedStart, source: SourceName): string {
  return listed(mothers.map(({ code, grams }) => ({ code: source(code), amount: mass(grams) })));
}

/** What a start is for: runs, later starts, the reserve. */
export function feedList({ feeds, mothersLaterGrams, reserveGrams }: PlannedStart): string {
  const parts = feeds.map(({ run, grams }) => `${run} (${mass(grams)})`);
  if (mothersLaterGrams >= 1) parts.push(`mothers for later (${mass(mothersLaterGrams)})`);
  if (reserveGrams >= 1) parts.push(`mother reserve (${mass(reserveGrams)})`);
  return parts.length > 0 ? parts.join(', ') : 'spare for losses';
}

function describeRun(run: string, uses: readonly PlannedUse[], plan: SpawnPlan, source: SourceName) {
  const grams = uses.reduce((sum, use) => sum + use.grams, 0);
  const strain = plan.runs.find((each) => each.run === run)?.strainId ?? '';
  const cold = uses.some((use) => use.cold) ? 'warmed up before' : '';
  return {
    work: 'Spawn',
    what: `${run}: ${mass(grams)} of ${strain}`,
    from: listed(uses.map((use) => ({ code: source(use.from), amount: mass(use.grams) }))),
    purpose: cold,
  };
}
