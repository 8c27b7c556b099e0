import type { FarmChance } from '../assurance/farm-chance.js';
import type { CalendarDay } from '../calendar/calendar-day.js';
import type { BulkRun, FarmSituation } from '../planning/situation.js';

/** A run as a season brings it: the farm knows of it from a day on. */
export interface SeasonRun {
  readonly run: BulkRun;
  readonly knownOn: CalendarDay;
}

/** What the world does that nobody on the farm expects. Left out or 0: nothing. */
export interface WorldTurns {
  /** The loss rate swings up and down by this share of itself over the year. */
  readonly lossDrift?: number;
  /** Share of bench days whose grain batch is bad, and the share of its containers that are then lost. */
  readonly badBatchShare?: number;
  readonly badBatchLoss?: number;
  /** Share of contaminated containers that no check finds before they are opened. */
  readonly missedMould?: number;
  /** Growth takes this much longer than the farm knows (a cool room): 0.15 is 15 %. */
  readonly slowerGrowth?: number;
  /** Units of generation 0 that can be had in the whole season; as the farm's strain says when left out. */
  readonly cultureUnits?: number;
}

/** A farm and the season it will live. */
export interface SeasonFarm {
  readonly name: string;
  /** What the farm knows of itself on its first day: rhythm, strains, sizes, rooms, costs and the stock it begins with. */
  readonly start: FarmSituation;
  readonly runs: readonly SeasonRun[];
  /** Chance as the farm believes it; the world's own unless it turns. */
  readonly believed: FarmChance;
  readonly turns: WorldTurns;
  /** Share of bench days that fall out without notice. */
  readonly missedBenchShare: number;
  readonly weeks: number;
}

export const seasonWeeks = 52;
