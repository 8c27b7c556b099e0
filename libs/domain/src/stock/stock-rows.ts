import { type CalendarDay, daysBetween } from '../calendar/calendar-day.js';
import { groupedBy } from '../grouped-by.js';
import { type ContainerDays, type Freshness, type LifeRules, type StorageLife, storageLife } from './storage-life.js';

/** Containers alike in everything that matters for their age: what a database can count in one pass. */
export interface ContainerGroup extends ContainerDays {
  readonly strainId: string;
  readonly count: number;
  readonly grams: number;
  readonly keptAsMothers: number;
}

export interface AgeBand {
  /** Whole weeks since they were made. */
  readonly fromWeek: number;
  readonly count: number;
  readonly grams: number;
}

/** What is on hand of one strain, generation and state. */
export interface StockRow {
  readonly strainId: string;
  readonly generation: number;
  readonly state: ContainerGroup['state'];
  readonly count: number;
  readonly grams: number;
  readonly keptAsMothers: number;
  readonly ages: readonly AgeBand[];
  readonly freshness: Readonly<Record<Freshness, number>>;
  readonly firstRipeOn: CalendarDay | null;
  readonly firstExpiresOn: CalendarDay | null;
}

const STATE_ORDER = ['incubating', 'ripe', 'chilled', 'opened', 'contaminated'] as const;

/**
 * Folds groups of containers into one row per strain, generation and state, with ages by week and freshness counted.
 * @param rulesOf the storage rules of a strain; every strain among the groups must have some.
 */
export function stockRows(
  groups: readonly ContainerGroup[],
  rulesOf: (strainId: string) => LifeRules,
  asOf: CalendarDay,
): StockRow[] {
  const byRow = groupedBy(groups, (group) => `${group.strainId} ${group.generation} ${group.state}`);
  return [...byRow.values()].map((row) => foldRow(row, rulesOf(row[0]!.strainId), asOf)).sort(inReadingOrder);
}

function foldRow(groups: readonly ContainerGroup[], rules: LifeRules, asOf: CalendarDay): StockRow {
  const { strainId, generation, state } = groups[0]!;
  const lives = groups.map((group) => ({ group, life: storageLife(group, rules, asOf) }));
  return {
    strainId,
    generation,
    state,
    count: total(groups, (group) => group.count),
    grams: total(groups, (group) => group.grams),
    keptAsMothers: total(groups, (group) => group.keptAsMothers),
    ages: ageBands(groups, asOf),
    freshness: freshnessCounts(lives),
    firstRipeOn: state === 'incubating' ? earliest(lives.map(({ life }) => life.ripeOn)) : null,
    firstExpiresOn: earliest(lives.map(({ life }) => life.expiresOn)),
  };
}

function ageBands(groups: readonly ContainerGroup[], asOf: CalendarDay): AgeBand[] {
  const weekOf = (group: ContainerGroup) => Math.max(0, Math.floor(daysBetween(group.madeOn, asOf) / 7));
  return [...groupedBy(groups, weekOf)]
    .map(([fromWeek, band]) => ({
      fromWeek,
      count: total(band, (group) => group.count),
      grams: total(band, (group) => group.grams),
    }))
    .sort((left, right) => left.fromWeek - right.fromWeek);
}

function freshnessCounts(lives: readonly { group: ContainerGroup; life: StorageLife }[]): Record<Freshness, number> {
  const counts = { growing: 0, good: 0, soon: 0, past: 0, none: 0 };
  for (const { group, life } of lives) counts[life.freshness] += group.count;
  return counts;
}

function earliest(days: readonly (CalendarDay | null)[]): CalendarDay | null {
  return days.reduce((first, day) => (day !== null && (first === null || day < first) ? day : first), null);
}

function total<T>(items: readonly T[], value: (item: T) => number): number {
  return items.reduce((sum, item) => sum + value(item), 0);
}

function inReadingOrder(left: StockRow, right: StockRow): number {
  return (
    left.strainId.localeCompare(right.strainId) ||
    left.generation - right.generation ||
    STATE_ORDER.indexOf(left.state) - STATE_ORDER.indexOf(right.state)
  );
}
