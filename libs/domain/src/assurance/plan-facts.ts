import type { CalendarDay } from '../calendar/calendar-day.js';
import type { FarmSituation } from '../planning/situation.js';

/** What a plan was made from, as far as two plans are compared by it. Kept with the plan. */
export interface PlanFacts {
  readonly runs: readonly {
    readonly id: string;
    readonly day: CalendarDay;
    readonly minGrams: number;
    readonly targetGrams: number;
    readonly priority: number;
  }[];
  readonly strains: readonly {
    readonly id: string;
    readonly lossRate: number;
    readonly daysToRipe: number;
    /** Containers on hand by what they are. */
    readonly growing: number;
    readonly ripe: number;
    readonly chilled: number;
  }[];
  /** What bench and steriliser can do, and when, in one text: equal texts, equal rhythm. */
  readonly rhythm: string;
}

export function planFacts({ runs, strains, stock, rhythm }: FarmSituation): PlanFacts {
  return {
    runs: runs.map(({ id, day, minGrams, targetGrams, priority }) => ({ id, day, minGrams, targetGrams, priority })),
    strains: strains.map(({ id, lossRate, daysToRipe }) => {
      const own = stock.filter((jar) => jar.strainId === id && jar.generation > 0);
      const count = (...states: readonly string[]) => own.filter(({ state }) => states.includes(state)).length;
      const growing = count('incubating');
      return { id, lossRate, daysToRipe, growing, ripe: count('ripe', 'opened'), chilled: count('chilled') };
    }),
    rhythm: JSON.stringify(rhythm),
  };
}
