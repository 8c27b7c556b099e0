import type { StockOverview, StockRow } from '@jarfold/contracts';

/** One strain's jars laid out by age: what stands at each whole week since it was made. */
export interface AgeShelf {
  readonly strainId: string;
  readonly strainCode: string;
  readonly strainName: string;
  readonly jars: number;
  readonly grams: number;
  readonly weeks: readonly AgeStack[];
}

export interface AgeStack {
  readonly week: number;
  readonly jars: number;
  /** By state, in the order jars pass through them. */
  readonly parts: readonly { readonly state: StockRow['state']; readonly count: number }[];
}

const STATE_ORDER: readonly StockRow['state'][] = ['opened', 'chilled', 'ripe', 'incubating', 'contaminated'];
const GLASSES_PER_STACK = 6;
const STEPS = [1, 2, 5] as const;

/** A shelf per strain, all with the same weeks, so that ages compare from shelf to shelf. */
export function ageShelves(overview: StockOverview, generation: number | null): readonly AgeShelf[] {
  const rows = overview.rows.filter((row) => generation === null || row.generation === generation);
  const lastWeek = Math.max(0, ...rows.flatMap((row) => row.ages.map((age) => age.fromWeek)));
  const strains = new Map<string, StockRow[]>();
  for (const row of rows) strains.set(row.strainId, [...(strains.get(row.strainId) ?? []), row]);
  return [...strains.values()].map((ofStrain) => shelfOf(ofStrain, lastWeek));
}

function shelfOf(rows: readonly StockRow[], lastWeek: number): AgeShelf {
  const { strainId, strainCode, strainName } = rows[0]!;
  return {
    strainId,
    strainCode,
    strainName,
    jars: rows.reduce((sum, row) => sum + row.count, 0),
    grams: rows.reduce((sum, row) => sum + row.grams, 0),
    weeks: Array.from({ length: lastWeek + 1 }, (_, week) => stackOf(rows, week)),
  };
}

function stackOf(rows: readonly StockRow[], week: number): AgeStack {
  const parts = STATE_ORDER.map((state) => ({
    state,
    count: rows
      .filter((row) => row.state === state)
      .flatMap((row) => row.ages)
      .filter((age) => age.fromWeek === week)
      .reduce((sum, age) => sum + age.count, 0),
  })).filter((part) => part.count > 0);
  return { week, jars: parts.reduce((sum, part) => sum + part.count, 0), parts };
}

/**
 * How many jars one drawn glass stands for (1, 2, 5, 10, 20 …), so that no stack grows higher than six glasses. One
 * scale for all shelves.
 */
export function jarsPerGlass(shelves: readonly AgeShelf[]): number {
  const most = Math.max(1, ...shelves.flatMap((shelf) => shelf.weeks.map((stack) => stack.jars)));
  for (let power = 1; ; power *= 10) {
    for (const step of STEPS) if (most <= step * power * GLASSES_PER_STACK) return step * power;
  }
}

/** The glasses of a stack: every state that is there gets at least one, so that a single bad jar is never invisible. */
export function glassesOf(stack: AgeStack, perGlass: number): readonly StockRow['state'][] {
  return stack.parts.flatMap(({ state, count }) =>
    Array.from({ length: Math.max(1, Math.round(count / perGlass)) }, () => state),
  );
}
