/** What a run of the season got on its day. */
export interface SeasonRunResult {
  readonly run: string;
  readonly day: number;
  readonly grams: number;
  readonly minGrams: number;
  readonly targetGrams: number;
  readonly covered: boolean;
}

/** What a season came to. Money is the farm's own. */
export interface SeasonTotals {
  started: number;
  contaminated: number;
  agedOut: number;
  /** Good at the end of the season and never used. */
  neverUsed: number;
  cycles: number;
  cultureUnits: number;
  missedBenchDays: number;
  readonly cost: {
    containers: number;
    cycles: number;
    cultures: number;
    chilling: number;
    agedOut: number;
    short: number;
    belowTarget: number;
  };
}

/** The totals of a season of which nothing has been lived. */
export function noTotals(): SeasonTotals {
  return {
    started: 0,
    contaminated: 0,
    agedOut: 0,
    neverUsed: 0,
    cycles: 0,
    cultureUnits: 0,
    missedBenchDays: 0,
    cost: { containers: 0, cycles: 0, cultures: 0, chilling: 0, agedOut: 0, short: 0, belowTarget: 0 },
  };
}
