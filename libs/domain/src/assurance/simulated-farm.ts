import { dayNumber } from '../calendar/calendar-day.js';
import { acceptSituation } from '../planning/accept-situation.js';
import type {
  AcceptedContainer,
  AcceptedSituation,
  AcceptedSize,
  AcceptedStrain,
} from '../planning/accepted-situation.js';
import type { SpawnPlan } from '../planning/plan.js';
import type { FarmSituation, StockContainer } from '../planning/situation.js';
import { benchSlots, handlingDays } from '../planning/timeline.js';
import { type FarmChance, requireChance, type StrainChance, usualStrainChance } from './farm-chance.js';
import type { LotTies } from './luck.js';

/** Containers that share their luck: alike on hand, or started together. */
export interface SimulatedLot {
  readonly name: string;
  readonly generation: number;
  /** Place in the list of sizes. */
  readonly size: number;
  /** How many there are; for starts the plan's count, which a search may change. */
  readonly containers: number;
  /** Grams of ripe spawn in one, if it comes to that. */
  readonly gramsEach: number;
  readonly keptAsMother: boolean;
  /** Bench day of a planned start; −1 for stock. */
  readonly startDay: number;
  /** Day half of it is expected to be ripe; may lie before day 0. For ripe stock the first day it can be used: 0. */
  readonly ripeDay: number;
  readonly growing: boolean;
  /** Expected days of use: for stock that is ripe from day 0, for what grows from its ripe day. */
  readonly warmLife: number;
  /** Days of its present life that it has come through already; 0 for what grows. */
  readonly livedDays: number;
  /** Days it keeps from when it is chilled, 0 when it cannot be. */
  readonly coldLife: number;
  readonly lossRate: number;
  readonly ties: LotTies;
  readonly opened: boolean;
  /** The last day on which the plan opens one of it ahead of its use; −1 when it opens none ahead. */
  readonly openedAheadOn: number;
}

/** A run, or the mothers that a start needs. */
export interface SimulatedRun {
  readonly id: string;
  readonly day: number;
  readonly priority: number;
  readonly minGrams: number;
  readonly targetGrams: number;
  /** What the plan gives it, at most its target. It takes no more, so that later runs find theirs. */
  readonly plannedGrams: number;
  readonly weight: number;
}

export interface SimulatedStart {
  readonly lot: number;
  readonly day: number;
  readonly inoculumGramsEach: number;
  /** Lots whose containers the plan opens for it, in its order. Empty: any that is of an earlier generation. */
  readonly mothers: readonly { readonly lot: number; readonly opened: number }[];
  /** Inoculated from culture, which is not left to chance. */
  readonly fromCulture: boolean;
}

export interface SimulatedStrain {
  readonly strain: AcceptedStrain;
  readonly chance: StrainChance;
  readonly lots: readonly SimulatedLot[];
  readonly runs: readonly SimulatedRun[];
  readonly starts: readonly SimulatedStart[];
}

export interface SimulatedFarm {
  readonly situation: AcceptedSituation;
  readonly strains: readonly SimulatedStrain[];
  /** The last handling day at or before each day, −1 when there is none. */
  readonly handlingBefore: Int16Array;
  /** The first bench day after each bench day with a start; what is missed is made up for then. */
  readonly nextBenchDay: ReadonlyMap<number, number>;
  readonly missedBenchShare: number;
}

/**
 * A situation and its plan as chance meets them: lots with their luck's names, and what needs spawn in order of day.
 * @throws DomainError `situation-not-valid`, `chance-not-valid`
 */
export function simulatedFarm(situation: FarmSituation, plan: SpawnPlan, chance: FarmChance): SimulatedFarm {
  requireChance(chance);
  const accepted = acceptSituation(situation);
  const cycles = cyclesOfStarts(accepted, plan);
  const runs = new Map(situation.runs.map((run) => [run.id, run]));
  const strains = accepted.strains.map((strain) => {
    const profile = situation.strains[strain.index]!;
    const ofStrain = chance.strains.find((each) => each.strainId === strain.id) ?? usualStrainChance(profile);
    return new StrainBuilder(situation, accepted, strain, ofStrain, plan, cycles).build(runs);
  });
  return {
    situation: accepted,
    strains,
    handlingBefore: handlingBefore(accepted),
    nextBenchDay: nextBenchDays(accepted),
    missedBenchShare: chance.missedBenchShare,
  };
}

class StrainBuilder {
  private readonly lots: SimulatedLot[] = [];
  private readonly lotOf = new Map<string, number>();
  private readonly situation: FarmSituation;
  private readonly accepted: AcceptedSituation;
  private readonly strain: AcceptedStrain;
  private readonly chance: StrainChance;
  private readonly plan: SpawnPlan;
  private readonly cycles: ReadonlyMap<string, number>;
  private readonly motherUses: SpawnPlan['uses'];
  /** Container and day of every opening that a run takes from. */
  private readonly openedForRuns = new Set<string>();
  private readonly openedAhead = new Map<string, number>();

  constructor(
    situation: FarmSituation,
    accepted: AcceptedSituation,
    strain: AcceptedStrain,
    chance: StrainChance,
    plan: SpawnPlan,
    cycles: ReadonlyMap<string, number>,
  ) {
    this.situation = situation;
    this.accepted = accepted;
    this.strain = strain;
    this.chance = chance;
    this.plan = plan;
    this.cycles = cycles;
    this.motherUses = plan.uses.filter(({ to }) => to.kind === 'start');
    for (const { from, openedOn, day, to } of plan.uses) {
      if (to.kind === 'run') this.openedForRuns.add(`${from}|${openedOn}`);
      const on = dayNumber(openedOn) - dayNumber(accepted.asOf);
      if (openedOn < day) this.openedAhead.set(from, Math.max(on, this.openedAhead.get(from) ?? -1));
    }
  }

  build(runs: ReadonlyMap<string, FarmSituation['runs'][number]>): SimulatedStrain {
    this.addStock();
    const starts = this.addStarts();
    return {
      strain: this.strain,
      chance: this.chance,
      lots: this.lots,
      starts,
      runs: this.simulatedRuns(runs),
    };
  }

  private addStock(): void {
    const byCode = new Map(this.situation.stock.map((container) => [container.code, container]));
    const groups = new Map<
      string,
      { readonly container: AcceptedContainer; readonly jar: StockContainer; codes: string[] }
    >();
    for (const container of this.accepted.containers) {
      if (container.strain !== this.strain.index || container.kind === 'culture') continue;
      const jar = byCode.get(container.code)!;
      const key = [
        ...[jar.generation, jar.sizeId, jar.state, jar.madeOn, jar.ripeOn, jar.chilledOn, jar.openedOn],
        ...[jar.survival, jar.gramsLeft, jar.keptAsMother],
      ].join('|');
      const group = groups.get(key) ?? { container, jar, codes: [] };
      group.codes.push(container.code);
      groups.set(key, group);
    }
    for (const { container, jar, codes } of groups.values()) {
      for (const code of codes) this.lotOf.set(code, this.lots.length);
      this.lots.push(this.stockLot(container, jar, codes));
    }
  }

  private stockLot(container: AcceptedContainer, jar: StockContainer, codes: readonly string[]): SimulatedLot {
    const size = this.accepted.sizes[container.size]!;
    const growing = container.incubating;
    const made = dayNumber(jar.madeOn) - dayNumber(this.accepted.asOf);
    const seenRipe = jar.ripeOn === null ? null : dayNumber(jar.ripeOn) - dayNumber(this.accepted.asOf);
    return {
      name: codes[0]!,
      generation: container.generation,
      size: container.size,
      containers: codes.length,
      gramsEach: growing && jar.gramsLeft === 0 ? size.ripeGrams : jar.gramsLeft,
      keptAsMother: container.keptAsMother,
      startDay: -1,
      ripeDay: growing ? (seenRipe ?? made + this.chance.daysToRipe) : 0,
      growing: growing && (seenRipe === null || seenRipe > 0),
      warmLife: growing ? this.strain.warmLifeDays : container.until,
      livedDays: growing ? 0 : this.livedDays(container, jar),
      coldLife: container.kind === 'warm' ? this.coldLife() : 0,
      lossRate: growing ? this.lossAhead(jar) : 0,
      // Containers of one day share a batch and a mother as far as anybody knows.
      ties: { lot: codes[0]!, grainBatch: jar.madeOn, cycle: jar.madeOn, mother: `${this.strain.id}|${jar.madeOn}` },
      opened: container.kind === 'opened',
      openedAheadOn: Math.max(...codes.map((code) => this.openedAhead.get(code) ?? -1)),
    };
  }

  private lossAhead({ survival }: StockContainer): number {
    return survival === null ? this.chance.lossRate : Math.min(0.999, Math.max(0, 1 - survival));
  }

  private livedDays({ kind, until }: AcceptedContainer, { generation }: StockContainer): number {
    if (kind === 'opened' || generation === 0) return 0;
    return Math.max(0, (kind === 'cold' ? this.strain.coldLifeDays : this.strain.warmLifeDays) - until);
  }

  private coldLife(): number {
    return this.strain.mayBeChilled && this.accepted.coldPlaces > 0 ? this.strain.coldLifeDays : 0;
  }

  private addStarts(): SimulatedStart[] {
    const own = this.plan.starts.filter((start) => start.strainId === this.strain.id);
    for (const start of own) this.lotOf.set(start.id, this.lots.push(this.startLot(start)) - 1);
    return own
      .map((start) => this.simulatedStart(start))
      .sort((one, other) => one.day - other.day || one.lot - other.lot);
  }

  private startLot(start: SpawnPlan['starts'][number]): SimulatedLot {
    const size = sizeOf(this.accepted, start.sizeId);
    const day = dayNumber(start.benchDay) - dayNumber(this.accepted.asOf);
    return {
      name: start.id,
      generation: start.generation,
      size: size.index,
      containers: start.containers,
      gramsEach: size.ripeGrams,
      keptAsMother: false,
      startDay: day,
      ripeDay: day + this.chance.daysToRipe,
      growing: true,
      warmLife: this.strain.warmLifeDays,
      livedDays: 0,
      coldLife: this.coldLife(),
      lossRate: this.chance.lossRate,
      ties: startTies(start, this.cycles.get(start.id) ?? 0),
      opened: false,
      openedAheadOn: this.openedAhead.get(start.id) ?? -1,
    };
  }

  /**
   * Containers the plan opens for starts. One that a run shares is kept from nobody: the run takes what the plan gives it
   * and leaves the rest.
   */
  private keptFor(start: SpawnPlan['starts'][number]): { readonly lot: number; readonly opened: number }[] {
    const kept: { lot: number; opened: number }[] = [];
    for (const use of this.motherUses.filter(({ to }) => to.kind === 'start' && to.start === start.id)) {
      const lot = this.lotOf.get(use.from);
      if (lot === undefined) continue;
      const shared = this.openedForRuns.has(`${use.from}|${use.openedOn}`) ? 1 : 0;
      kept.push({ lot, opened: Math.max(0, use.opened - shared) });
    }
    return kept;
  }

  private simulatedStart(start: SpawnPlan['starts'][number]): SimulatedStart {
    const day = dayNumber(start.benchDay) - dayNumber(this.accepted.asOf);
    const size = sizeOf(this.accepted, start.sizeId);
    return {
      lot: this.lotOf.get(start.id)!,
      day,
      inoculumGramsEach: this.strain.inoculumGrams * size.inoculumFactor,
      mothers: this.keptFor(start),
      fromCulture: start.generation === 1,
    };
  }

  private simulatedRuns(runs: ReadonlyMap<string, FarmSituation['runs'][number]>): SimulatedRun[] {
    const planned = new Set(this.accepted.runs.map(({ id }) => id));
    return this.plan.runs
      .filter((run) => run.strainId === this.strain.id && planned.has(run.run))
      .map((run) => {
        const priority = Math.max(1, runs.get(run.run)?.priority ?? 1);
        return {
          id: run.run,
          day: dayNumber(run.day) - dayNumber(this.accepted.asOf),
          priority,
          minGrams: run.minGrams,
          targetGrams: run.targetGrams,
          plannedGrams: wantedGrams(run),
          weight: 1 / priority,
        };
      })
      .sort((one, other) => one.day - other.day || one.priority - other.priority || (one.id < other.id ? -1 : 1));
  }
}

/** A run that is given something is given its minimum where there is enough: a few grams short, it counts as uncovered. */
export function wantedGrams({
  coveredGrams,
  minGrams,
  targetGrams,
}: Pick<SpawnPlan['runs'][number], 'coveredGrams' | 'minGrams' | 'targetGrams'>): number {
  return Math.min(targetGrams, coveredGrams > 0 ? Math.max(coveredGrams, minGrams) : 0);
}

/** What a planned start shares its luck with: the grain of its bench day, its load, and its first mother. */
export function startTies(
  start: { readonly id: string; readonly benchDay: string; readonly mothers: readonly { readonly code: string }[] },
  cycle: number,
): LotTies {
  return {
    lot: start.id,
    grainBatch: start.benchDay,
    cycle: `${start.benchDay}|${cycle}`,
    mother: start.mothers[0]?.code ?? start.id,
  };
}

/** Loads are filled in order of the starts' names; a start belongs to the load its middle container is in. */
function cyclesOfStarts(accepted: AcceptedSituation, plan: SpawnPlan): Map<string, number> {
  const filled = new Map<string, number>();
  const cycles = new Map<string, number>();
  for (const start of plan.starts) {
    const { perCycle } = sizeOf(accepted, start.sizeId);
    const share = Number.isFinite(perCycle) && perCycle > 0 ? start.containers / perCycle : 0;
    const before = filled.get(start.benchDay) ?? 0;
    cycles.set(start.id, Math.floor(before + share / 2));
    filled.set(start.benchDay, before + share);
  }
  return cycles;
}

function sizeOf({ sizes }: AcceptedSituation, id: string): AcceptedSize {
  return sizes.find((size) => size.id === id)!;
}

function handlingBefore(situation: AcceptedSituation): Int16Array {
  const last = new Int16Array(situation.horizon + 1).fill(-1);
  const days = new Set(handlingDays(situation));
  for (let day = 0; day < last.length; day += 1) last[day] = days.has(day) ? day : day > 0 ? last[day - 1]! : -1;
  return last;
}

function nextBenchDays(situation: AcceptedSituation): Map<number, number> {
  const days = benchSlots(situation).map(({ day }) => day);
  return new Map(days.map((day, place) => [day, days[place + 1] ?? day + 7]));
}
