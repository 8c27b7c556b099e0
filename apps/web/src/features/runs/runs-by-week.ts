import type { Run } from '@jarfold/contracts';
import { formatWeekOf, formatWeekSpan } from '../../ui/format/index.js';

export interface WeekOfRuns {
  readonly week: string;
  readonly span: string;
  readonly items: readonly Run[];
}

/** Runs under the ISO week of their day, soonest first. */
export function runsByWeek(runs: readonly Run[]): readonly WeekOfRuns[] {
  const weeks = new Map<string, Run[]>();
  for (const run of [...runs].sort((a, b) => a.day.localeCompare(b.day) || a.name.localeCompare(b.name))) {
    const week = formatWeekOf(run.day);
    weeks.set(week, [...(weeks.get(week) ?? []), run]);
  }
  return [...weeks].map(([week, items]) => ({ week, span: formatWeekSpan(items[0]!.day), items }));
}
