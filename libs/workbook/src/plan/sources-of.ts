import type { SpawnPlan } from '@jarfold/domain';
import { shortDay } from './plan-words.js';

/** What to call where grams come from: a jar on hand by its code, what the plan makes by strain and day. */
export type SourceName = (from: string) => string;

export function sourceNames(plan: SpawnPlan): SourceName {
  const starts = new Map(plan.starts.map((start) => [start.id, start]));
  const cultures = new Map(plan.cultures.map((culture) => [culture.id, culture]));
  return (from) => {
    const start = starts.get(from);
    if (start) return `G${start.generation} jars of ${shortDay(start.benchDay)}`;
    const culture = cultures.get(from);
    return culture ? `culture of ${shortDay(culture.readyOn)}` : from;
  };
}
