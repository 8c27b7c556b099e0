import { daysBetween } from '../calendar/calendar-day.js';
import { ProgrammeBuilder, type Term } from '../planning/linear-programme.js';
import type { LinearSolver } from '../planning/solver-port.js';
import type { SeasonFarm } from './season-farm.js';
import { SeasonWorld } from './world/season-world.js';

export interface ClairvoyantBound {
  /** Nobody who lives this season can do cheaper, but for the luck of single jars within a lot. */
  readonly cost: number;
  /** Runs that even who knows the season cannot cover, when the solve got so far as to find a plan. */
  readonly missedRuns: readonly string[] | null;
  readonly started: number | null;
}

interface Source {
  readonly strain: number;
  readonly from: number;
  readonly until: number;
  readonly row: number;
}

/**
 * What the season would cost somebody who knows it all on the first day: every run, every lot's loss and ripening, every
 * missed bench day. Containers may be split, the generation limit and the shelves are left out, steriliser cycles are
 * whole: less than this no policy can pay, up to the luck of single jars.
 */
export function clairvoyantBound(
  farm: SeasonFarm,
  seed: number,
  solver: LinearSolver,
  timeLimitS: number,
): ClairvoyantBound {
  const model = new SeasonModel(farm, seed);
  const programme = model.build();
  const solved = solver.solveWhole(programme, { relativeGap: 0.005, maxNodes: 100_000, timeLimitS });
  const { values } = solved;
  return {
    cost: Math.max(0, solved.bound),
    missedRuns: values && model.missed(values),
    started: values && model.started(values),
  };
}

class SeasonModel {
  private readonly builder = new ProgrammeBuilder();
  private readonly farm: SeasonFarm;
  private readonly world: SeasonWorld;
  private readonly sources: Source[] = [];
  private readonly startColumns: number[] = [];
  private readonly short: { readonly run: string; readonly column: number }[] = [];

  constructor(farm: SeasonFarm, seed: number) {
    this.farm = farm;
    this.world = new SeasonWorld(farm, seed);
  }

  build() {
    this.addStock();
    this.addStarts();
    for (const { run } of this.farm.runs) this.addRun(run);
    // What is left over may be left over.
    return this.builder.build();
  }

  missed(values: Float64Array): string[] {
    return this.short.filter(({ column }) => values[column]! > 1).map(({ run }) => run);
  }

  started(values: Float64Array): number {
    return this.startColumns.reduce((sum, column) => sum + values[column]!, 0);
  }

  private addStock(): void {
    const { start } = this.farm;
    for (const jar of start.stock) {
      const strain = start.strains.findIndex(({ id }) => id === jar.strainId);
      const { daysToRipe, warmLifeDays, coldLifeDays, cultureLifeDays = 180 } = start.strains[strain]!;
      const grams = jar.gramsLeft > 0 ? jar.gramsLeft : start.sizes[0]!.ripeGrams;
      const row = this.builder.row(Number.NEGATIVE_INFINITY, grams);
      const made = daysBetween(start.asOf, jar.madeOn);
      const ripe = jar.ripeOn === null ? made + daysToRipe : daysBetween(start.asOf, jar.ripeOn);
      const life = jar.generation === 0 ? cultureLifeDays : warmLifeDays + coldLifeDays;
      this.sources.push({ strain, from: Math.max(0, jar.generation === 0 ? 0 : ripe), until: ripe + 1.3 * life, row });
    }
  }

  private addStarts(): void {
    const { start, weeks } = this.farm;
    const { rhythm, costs } = start;
    for (const day of this.world.benchDays(0, weeks * 7)) {
      if (day < rhythm.preparationLeadDays || this.world.isMissed(day)) continue;
      const cycles = this.builder.column({ cost: costs.perCycle, upper: rhythm.cyclesPerPreparationDay, whole: true });
      const vessel = this.builder.row(Number.NEGATIVE_INFINITY, 0, [[cycles, -1]]);
      const bench = this.builder.row(Number.NEGATIVE_INFINITY, rhythm.benchContainersPerDay);
      start.strains.forEach((_, strain) => {
        start.sizes.forEach((_size, size) => {
          this.addStart(day, strain, size, vessel, bench);
        });
      });
    }
  }

  private addStart(day: number, strain: number, size: number, vessel: number, bench: number): void {
    const { start } = this.farm;
    const { ripeGrams, vesselPlaces, inoculumFactor } = start.sizes[size]!;
    const { warmLifeDays, coldLifeDays, mayBeChilled, inoculumGramsPerContainer, culture } = start.strains[strain]!;
    const perCycle = Math.floor(start.rhythm.vesselPlaces / vesselPlaces + 1e-9);
    if (perCycle < 1) return;
    const fate = this.world.fateOf(strain, day);
    const column = this.builder.column({ cost: start.costs.perContainerStarted });
    this.startColumns.push(column);
    this.builder.term(vessel, column, 1 / perCycle);
    this.builder.term(bench, column, 1);
    const row = this.builder.row(Number.NEGATIVE_INFINITY, 0, [[column, -ripeGrams * (1 - fate.lossRate)]]);
    // Lives are taken long, so that this stays a bound.
    const life = 1.3 * (warmLifeDays + (mayBeChilled ? coldLifeDays : 0)) + start.rhythm.openedLifeDays;
    const from = Math.max(day + 1, Math.floor(day + fate.ripeDays));
    const mothers = this.sources
      .filter((each) => each.strain === strain && each.from <= day && each.until >= day)
      .map((each): Term => [this.flow(each), 1]);
    const each = inoculumGramsPerContainer * inoculumFactor;
    if (culture !== null && day >= culture.leadDays) {
      const gram = culture.costPerUnit / (culture.containersPerUnit * inoculumGramsPerContainer);
      mothers.push([this.builder.column({ cost: gram }), 1]);
    }
    this.builder.row(0, Number.POSITIVE_INFINITY, [...mothers, [column, -each]]);
    this.sources.push({ strain, from, until: from + life, row });
  }

  /** Grams out of a source. */
  private flow(source: Source): number {
    const column = this.builder.column();
    this.builder.term(source.row, column, 1);
    return column;
  }

  private addRun(run: SeasonFarm['runs'][number]['run']): void {
    const { start, weeks } = this.farm;
    const day = daysBetween(start.asOf, run.day);
    if (day < 0 || day >= weeks * 7) return;
    const weight = 1 / Math.max(1, run.priority);
    const strains = new Set(run.strainIds.map((id) => start.strains.findIndex((strain) => strain.id === id)));
    const flows = this.sources
      .filter((each) => strains.has(each.strain) && each.from <= day && each.until >= day)
      .map((each): Term => [this.flow(each), 1]);
    const short = this.builder.column({ cost: weight * start.costs.perGramShort });
    const below = this.builder.column({
      cost: weight * start.costs.perGramBelowTarget,
      upper: Math.max(0, run.targetGrams - run.minGrams),
    });
    this.builder.row(run.targetGrams, Number.POSITIVE_INFINITY, [...flows, [short, 1], [below, 1]]);
    this.short.push({ run: run.id, column: short });
  }
}
