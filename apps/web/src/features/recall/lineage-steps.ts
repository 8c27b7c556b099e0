import type { RecallJson } from '@jarfold/contracts';

export type RecalledJar = RecallJson['jars'][number];
export type Relation = RecalledJar['relation'];

/** Jars of one lot at one distance from what was asked for. */
export interface LotOfStep {
  readonly lotId: string;
  readonly code: string;
  readonly jars: readonly RecalledJar[];
  readonly standing: number;
  readonly contaminated: number;
}

export interface LineageStep {
  readonly relation: Relation;
  /** Inoculations away; null for sisters. */
  readonly steps: number | null;
  readonly lots: readonly LotOfStep[];
  readonly jars: number;
}

const GONE: ReadonlySet<RecalledJar['state']> = new Set(['emptied', 'discarded', 'broken']);

export const isGone = ({ state }: RecalledJar): boolean => GONE.has(state);

/** The lineage as it reads from the culture down: the farthest ancestors first, what was asked for, then its children. */
export function lineageSteps(jars: readonly RecalledJar[]): readonly LineageStep[] {
  const byStep = new Map<string, RecalledJar[]>();
  for (const jar of jars) {
    const key = `${jar.relation} ${jar.steps}`;
    const step = byStep.get(key);
    if (step) step.push(jar);
    else byStep.set(key, [jar]);
  }
  return [...byStep.values()]
    .map((own) => ({ relation: own[0]!.relation, steps: own[0]!.steps, lots: lotsOf(own), jars: own.length }))
    .sort((one, other) => heightOf(one) - heightOf(other));
}

/** Ancestors above, descendants below; sisters stand beside what was asked for. */
function heightOf({ relation, steps }: Pick<LineageStep, 'relation' | 'steps'>): number {
  if (relation === 'ancestor') return -(steps ?? 0);
  if (relation === 'sister') return 0.5;
  return steps ?? 0;
}

function lotsOf(jars: readonly RecalledJar[]): readonly LotOfStep[] {
  const byLot = new Map<string, RecalledJar[]>();
  for (const jar of jars) {
    const lot = byLot.get(jar.lotId);
    if (lot) lot.push(jar);
    else byLot.set(jar.lotId, [jar]);
  }
  return [...byLot].map(([lotId, own]) => ({
    ...{ lotId, code: own[0]!.lotCode, jars: own },
    standing: own.filter((jar) => !isGone(jar)).length,
    contaminated: own.filter(({ contaminatedOn }) => contaminatedOn !== null).length,
  }));
}
