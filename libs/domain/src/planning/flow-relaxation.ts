import type { AcceptedSituation } from './accepted-situation.js';
import type { Lot } from './field-lot.js';
import { type LinearProgramme, ProgrammeBuilder } from './linear-programme.js';
import type { SharedLimits } from './shared-limits.js';
import type { StartOption } from './start-options.js';
import { oldestGeneration, type StrainField } from './strain-field.js';

/** The flow of grams, with the columns that a search is guided by. */
export interface FlowRelaxation {
  readonly programme: LinearProgramme;
  /** Column of each start option, by strain and place. */
  readonly starts: readonly (readonly number[])[];
  /** Column "takes place this way" of each run, by way; empty for a run that has one way. */
  readonly chosen: readonly (readonly number[])[];
}

/**
 * A relaxation small enough to be solved with every plan: spawn flows by the gram, whatever container it is in; a gram is
 * of use from the day its container is ripe until the last day any path could keep it; warm and cold are one. Every plan
 * is a flow that costs no more than the plan, so the least flow is a bound below all plans, and its starts are a good
 * place to begin a search.
 */
export function flowRelaxation(
  situation: AcceptedSituation,
  fields: readonly StrainField[],
  shared: SharedLimits,
): FlowRelaxation {
  return new FlowBuilder(situation, fields, shared).build();
}

interface Arrival {
  readonly from: number;
  readonly lastUse: number;
  readonly grams: number;
  /** Column of the start it comes from, or null for stock. */
  readonly column: number | null;
}

class FlowBuilder {
  private readonly situation: AcceptedSituation;
  private readonly fields: readonly StrainField[];
  private readonly shared: SharedLimits;
  private readonly builder = new ProgrammeBuilder();
  private readonly starts: number[][];
  /** By run and way the row that limits what is given that way. */
  private readonly wayRows: number[][] = [];
  private readonly coverRows: number[] = [];
  private readonly chosen: number[][] = [];

  constructor(situation: AcceptedSituation, fields: readonly StrainField[], shared: SharedLimits) {
    this.situation = situation;
    this.fields = fields;
    this.shared = shared;
    this.starts = fields.map((field) => this.addStarts(field));
  }

  build(): FlowRelaxation {
    this.addRuns();
    this.addBench();
    this.addIncubation();
    this.fields.forEach((field, strain) => {
      this.addCulture(field, this.starts[strain]!);
      for (let generation = 1; generation <= oldestGeneration(field); generation += 1) {
        this.addFlow(field, this.starts[strain]!, generation, false);
        this.addFlow(field, this.starts[strain]!, generation, true);
      }
    });
    return { programme: this.builder.build(), starts: this.starts, chosen: this.chosen };
  }

  /** A start carries its share of the cycles. */
  private addStarts({ options }: StrainField): number[] {
    const { costs, sizes } = this.situation;
    return options.map((option) => {
      const { perCycle } = sizes[option.size]!;
      const cycle =
        Number.isFinite(perCycle) && option.prepared === 0 ? this.shared.cycleCost[option.slot.index]! / perCycle : 0;
      return this.builder.column({ cost: costs.perContainerStarted + cycle, lower: option.fewest, upper: option.most });
    });
  }

  private addRuns(): void {
    const { runs, costs } = this.situation;
    const ways = this.fields.flatMap((field) => field.ways);
    for (const run of runs) {
      const short = this.builder.column({ cost: costs.perGramShort * run.weight, upper: run.minGrams });
      const below = this.builder.column({
        cost: costs.perGramBelowTarget * run.weight,
        upper: run.targetGrams - run.minGrams,
      });
      const missing = [
        [short, 1],
        [below, 1],
      ] as const;
      const count = ways.filter((way) => way.run === run.index).length;
      // Grams and what is missing add up to the target at least; more than the target only when nothing is missing.
      const most = count === 1 ? run.maxGrams : Number.POSITIVE_INFINITY;
      this.coverRows.push(this.builder.row(run.targetGrams, Math.max(most, run.targetGrams), missing));
      this.addWays(run.index, count, run.maxGrams);
    }
  }

  private addWays(run: number, count: number, maxGrams: number): void {
    this.chosen[run] = [];
    this.wayRows[run] = [];
    if (count === 1) return;
    const columns = Array.from({ length: count }, () => this.builder.column({ upper: 1 }));
    this.chosen[run] = columns;
    this.builder.row(
      Number.NEGATIVE_INFINITY,
      1,
      columns.map((column) => [column, 1]),
    );
    this.wayRows[run] = columns.map((column) => this.builder.row(Number.NEGATIVE_INFINITY, 0, [[column, -maxGrams]]));
  }

  private addBench(): void {
    const { rhythm, sizes } = this.situation;
    const startedOn = this.startedBySlot();
    for (const slot of this.shared.slots) {
      const capacity = this.shared.benchCapacity[slot.index]!;
      const started = startedOn.get(slot.index) ?? [];
      if (Number.isFinite(capacity))
        this.builder.row(
          Number.NEGATIVE_INFINITY,
          capacity,
          started.map(({ column }) => [column, 1]),
        );
      const cycles = this.builder.row(Number.NEGATIVE_INFINITY, rhythm.cyclesPerPreparationDay);
      for (const { option, column } of started) {
        const { perCycle } = sizes[option.size]!;
        if (!Number.isFinite(perCycle)) continue;
        this.builder.term(cycles, column, 1 / perCycle);
        this.builder.shift(cycles, -option.prepared / perCycle);
      }
    }
  }

  private startedBySlot(): Map<number, { readonly option: StartOption; readonly column: number }[]> {
    const started = new Map<number, { readonly option: StartOption; readonly column: number }[]>();
    this.fields.forEach(({ options }, strain) => {
      options.forEach((option, place) => {
        const known = started.get(option.slot.index) ?? [];
        known.push({ option, column: this.starts[strain]![place]! });
        started.set(option.slot.index, known);
      });
    });
    return started;
  }

  /** What incubates takes a place; what is ripe may be in the cold. */
  private addIncubation(): void {
    this.shared.countingDays.forEach((day, place) => {
      const capacity = this.shared.warmCapacity[place]!;
      if (!Number.isFinite(capacity)) return;
      const row = this.builder.row(Number.NEGATIVE_INFINITY, capacity);
      this.fields.forEach(({ options }, strain) => {
        options.forEach((option, at) => {
          const stands = option.slot.day <= day && day < option.ripeDay;
          if (stands) this.builder.term(row, this.starts[strain]![at]!, this.situation.sizes[option.size]!.shelfPlaces);
        });
      });
    });
  }

  /** Generation 0 by the gram, whenever it comes. */
  private addCulture({ strain, options, cultures }: StrainField, columns: readonly number[]): void {
    const { culture } = strain;
    const onHand = cultures.reduce((sum, each) => sum + each.grams, 0);
    const row = this.builder.row(Number.NEGATIVE_INFINITY, onHand);
    options.forEach((option, place) => {
      if (option.generation === 1) this.builder.term(row, columns[place]!, option.inoculumGramsEach);
    });
    if (culture === null || culture.containersPerUnit <= 0) return;
    const units = this.builder.column({
      cost: culture.costPerUnit,
      upper: culture.unitsAvailable ?? Number.POSITIVE_INFINITY,
    });
    this.builder.term(row, units, -culture.containersPerUnit * strain.inoculumGrams);
  }

  private addFlow(field: StrainField, columns: readonly number[], generation: number, motherOnly: boolean): void {
    const { horizon, costs } = this.situation;
    const { strain, options, ways } = field;
    const children = options.flatMap((option, place) =>
      option.generation === generation + 1
        ? [{ day: option.slot.day, column: columns[place]!, grams: option.inoculumGramsEach }]
        : [],
    );
    const useDays = [
      ...new Set([...children.map((child) => child.day), ...(motherOnly ? [] : ways.map((way) => way.day))]),
    ].sort((one, other) => one - other);
    const arrivals = this.arrivals(field, columns, generation, motherOnly, useDays);
    const begin = Math.min(Number.POSITIVE_INFINITY, ...arrivals.map((arrival) => arrival.from));
    const days = useDays.filter((day) => day >= begin);
    const opened = costs.perGramDayOld * this.situation.rhythm.openedLifeDays;
    let before = -1;
    let counted = -1;
    days.forEach((day, place) => {
      const next = days[place + 1] ?? day;
      const waits = next < horizon - strain.warmLifeDays ? costs.perGramDayOld * (next - day) : 0;
      const left = this.builder.column({ cost: waits });
      const row = this.builder.row(0, 0, [[left, 1]]);
      const isExpiring = arrivals.some((arrival) => arrival.from <= day && arrival.lastUse < day);
      const fresh = isExpiring ? this.builder.row(Number.NEGATIVE_INFINITY, 0, [[left, 1]]) : null;
      if (before >= 0) this.builder.term(row, before, -1);
      const waste = this.builder.column({ cost: costs.perGramAgedOut });
      this.builder.term(row, waste, 1);
      const uses = [
        ...children.filter((child) => child.day === day).map(({ column, grams }) => [column, grams] as const),
        ...(motherOnly ? [] : this.useColumns(field, generation, day, opened)).map((column) => [column, 1] as const),
      ];
      for (const [column, grams] of uses) {
        this.builder.term(row, column, grams);
        if (fresh !== null) this.builder.term(fresh, column, grams);
      }
      for (const arrival of arrivals) {
        if (arrival.from > counted && arrival.from <= day) this.supply(row, arrival);
        if (fresh !== null && arrival.from <= day && day <= arrival.lastUse) this.supply(fresh, arrival);
      }
      before = left;
      counted = day;
    });
  }

  private supply(row: number, { column, grams }: Arrival): void {
    if (column === null) this.builder.shift(row, -grams);
    else this.builder.term(row, column, -grams);
  }

  /** Grams given to the runs of a day. What was opened some days before stopped ageing then. */
  private useColumns({ ways }: StrainField, generation: number, day: number, opened: number): number[] {
    const { costs } = this.situation;
    return ways
      .filter((way) => way.day === day)
      .map((way) => {
        const cost = Math.max(0, costs.perGramGeneration * generation + way.perGramOther - opened);
        const column = this.builder.column({ cost });
        this.builder.term(this.coverRows[way.run]!, column, 1);
        const limit = this.wayRows[way.run]![way.choice];
        if (limit !== undefined) this.builder.term(limit, column, 1);
        return column;
      });
  }

  private arrivals(
    field: StrainField,
    columns: readonly number[],
    generation: number,
    motherOnly: boolean,
    useDays: readonly number[],
  ): Arrival[] {
    const { openedLifeDays } = this.situation.rhythm;
    // Nothing is opened but on a day of use; what is open then may be used a little longer.
    const lastUseOf = (lot: Lot) => {
      const last = lastDayUnopened(lot, field.strain.coldLifeDays);
      const opened = useDays.findLast((day) => day <= last) ?? Number.NEGATIVE_INFINITY;
      return opened < lot.from ? Number.NEGATIVE_INFINITY : opened + openedLifeDays;
    };
    const lots = field.lots
      .filter((lot) => lot.generation === generation && lot.motherOnly === motherOnly)
      .map((lot): Arrival => {
        const column = lot.option === null ? null : columns[lot.option]!;
        const grams = lot.gramsEach * (column === null ? lot.onHand.length : 1);
        return { from: lot.from, lastUse: lastUseOf(lot), grams, column };
      });
    const opened = field.opened
      .filter((each) => each.generation === generation && each.motherOnly === motherOnly)
      .map(({ until, grams }): Arrival => ({ from: 0, lastUse: until, grams, column: null }));
    return [...opened, ...lots];
  }
}

function lastDayUnopened({ until, chillDays }: Lot, coldLifeDays: number): number {
  return Math.max(until, (chillDays.at(-1) ?? Number.NEGATIVE_INFINITY) + coldLifeDays);
}
