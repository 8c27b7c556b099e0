import type { Morning, WantedStart, WeekDecision } from '../policy.js';
import type { SeasonFarm } from '../season-farm.js';
import { SeasonBench } from './season-bench.js';
import { SeasonCultures } from './season-cultures.js';
import { SeasonLuck } from './season-luck.js';
import { SeasonRuns } from './season-runs.js';
import { SeasonStock } from './season-stock.js';
import type { SeasonRunResult, SeasonTotals } from './season-totals.js';
import { morningOf } from './season-view.js';

/** A farm living day by day. All policies live the same season: see {@link SeasonLuck}. */
export class SeasonWorld {
  private readonly farm: SeasonFarm;
  private readonly luck: SeasonLuck;
  private readonly stock: SeasonStock;
  private readonly cultures: SeasonCultures;
  private readonly bench: SeasonBench;
  private readonly runs: SeasonRuns;
  private postponed: WantedStart[] = [];

  constructor(farm: SeasonFarm, seed: number) {
    this.farm = farm;
    this.luck = new SeasonLuck(farm, seed);
    this.stock = new SeasonStock(farm);
    this.cultures = new SeasonCultures(this.stock);
    this.bench = new SeasonBench(this.stock, this.luck);
    this.runs = new SeasonRuns(this.stock);
  }

  get results(): readonly SeasonRunResult[] {
    return this.runs.results;
  }

  get totals(): SeasonTotals {
    return this.stock.totals;
  }

  /** What the farm sees on the morning of a day. */
  morning(day: number, horizonDays: number): Morning {
    this.lookAround(day);
    return morningOf(this.stock, this.cultures, day, horizonDays);
  }

  /** Lives so many days by one decision, from the morning of a day on. */
  live(from: number, days: number, decision: WeekDecision): void {
    for (const { strainId, units } of decision.cultures) this.cultures.buy(from, strainId, units);
    this.postponed = [];
    for (let day = from; day < from + days; day += 1) this.liveDay(day, decision);
  }

  end(): void {
    this.stock.countNeverUsed();
  }

  /** Bench days from a day until before another. */
  benchDays(from: number, to: number): number[] {
    return this.stock.benchDays(from, to);
  }

  /** Luck of what is started of a strain on a day, for who knows the season. */
  fateOf(strain: number, day: number): { readonly lossRate: number; readonly ripeDays: number } {
    return this.luck.fateOf(strain, day);
  }

  isMissed(day: number): boolean {
    return this.luck.isMissed(day);
  }

  private lookAround(day: number): void {
    this.stock.lookAround(day);
    this.cultures.arrive(day);
  }

  private liveDay(day: number, decision: WeekDecision): void {
    this.lookAround(day);
    if (decision.handling) this.stock.move(day, decision.handling);
    const isBenchDay = this.benchDays(day, day + 1).length > 0;
    const wanted = [...this.postponed, ...decision.starts.filter((start) => start.day === day)];
    if (isBenchDay) this.stock.chillWhatMust(day, this.placesWanted(wanted), decision.handling);
    if (isBenchDay && wanted.length > 0) this.workOrPostpone(day, wanted);
    for (const { run } of this.farm.runs) if (this.stock.dayOf(run.day) === day) this.runs.feed(day, run, decision);
    this.stock.throwAway(day);
  }

  private workOrPostpone(day: number, wanted: readonly WantedStart[]): void {
    const missed = this.isMissed(day);
    this.postponed = missed ? [...wanted] : [];
    if (missed) this.totals.missedBenchDays += 1;
    else this.bench.work(day, wanted);
  }

  private placesWanted(wanted: readonly WantedStart[]): number {
    const { sizes } = this.farm.start;
    return wanted.reduce((sum, { sizeId, containers }) => {
      return sum + containers * (sizes.find(({ id }) => id === sizeId)?.shelfPlaces ?? 1);
    }, 0);
  }
}
