import { addDays, type CalendarDay } from '../calendar/calendar-day.js';
import { groupedBy } from '../grouped-by.js';
import type { AcceptedSituation } from './accepted-situation.js';
import { LEAST_GRAMS } from './peg-uses.js';
import type { PeggedPlan, PeggedStart, PeggedUse } from './pegged-plan.js';
import type {
  BindingLimit,
  PlannedCulture,
  PlannedDiscard,
  PlannedMove,
  PlannedPreparation,
  PlannedStart,
  PlannedUse,
  ReserveGap,
  RunCoverage,
  StrandedContainer,
} from './plan.js';
import { waysOf } from './strain-field.js';
import type { BenchSlot } from './timeline.js';

/** Grams in a plan are told to a tenth: finer than any farm's scale, coarser than the solver's rounding. */
function tellGrams(grams: number): number {
  return Math.round(grams * 10) / 10;
}

/** Turns a pegged solution into the words of the plan. */
export class PlanReport {
  private readonly situation: AcceptedSituation;
  private readonly slots: readonly BenchSlot[];
  private readonly pegged: PeggedPlan;
  /** Uses by the container they are from, and by the run or start they go to. */
  private readonly usesFrom: ReadonlyMap<string, readonly PeggedUse[]>;
  private readonly usesTo: ReadonlyMap<number | string, readonly PeggedUse[]>;

  constructor(situation: AcceptedSituation, slots: readonly BenchSlot[], pegged: PeggedPlan) {
    this.situation = situation;
    this.slots = slots;
    this.pegged = pegged;
    this.usesFrom = groupedBy(pegged.uses, (use) => use.from);
    this.usesTo = groupedBy(pegged.uses, ({ to }) => (to.kind === 'run' ? to.run : to.start));
  }

  starts(): PlannedStart[] {
    return this.pegged.starts
      .map((start) => this.start(start))
      .sort((one, other) => compare(one.benchDay, other.benchDay) || compare(one.id, other.id));
  }

  preparations(): PlannedPreparation[] {
    return this.pegged.loads.map((load) => ({
      day: this.day(load.preparationDay),
      benchDay: this.day(load.benchDay),
      cycles: load.cycles,
      containers: this.containersBySize(load.benchDay),
    }));
  }

  cultures(): PlannedCulture[] {
    return this.pegged.orders.map((order) => ({
      id: order.id,
      strainId: this.situation.strains[order.strain]!.id,
      orderBy: this.day(order.orderBy),
      readyOn: this.day(order.readyOn),
      units: order.units,
    }));
  }

  moves(): PlannedMove[] {
    const chillings = this.pegged.chillings.map((move) => ({
      ...move,
      day: this.day(move.day),
      kind: 'chill' as const,
    }));
    const warmings = this.pegged.warmings.map((move) => ({ ...move, day: this.day(move.day), kind: 'warm' as const }));
    return [...chillings, ...warmings].sort(
      (one, other) => compare(one.day, other.day) || compare(one.kind, other.kind) || compare(one.from, other.from),
    );
  }

  uses(): PlannedUse[] {
    return this.pegged.uses
      .map((use) => ({
        day: this.day(use.day),
        from: use.from,
        grams: tellGrams(use.grams),
        to:
          use.to.kind === 'run'
            ? { kind: 'run' as const, run: this.situation.runs[use.to.run]!.id }
            : { kind: 'start' as const, start: use.to.start },
        cold: use.cold,
        opened: use.opened,
        openedOn: this.day(use.openedOn),
      }))
      .filter((use) => use.grams > 0)
      .sort(
        (one, other) =>
          compare(one.day, other.day) || compare(one.from, other.from) || compare(useName(one), useName(other)),
      );
  }

  discards(): PlannedDiscard[] {
    return this.pegged.discards
      .map((discard) => ({ ...discard, day: this.day(discard.day), grams: tellGrams(discard.grams) }))
      .filter((discard) => discard.grams > 0 || discard.containers > 0)
      .sort((one, other) => compare(one.day, other.day) || compare(one.from, other.from));
  }

  /** Coverage of every run; `limitOf` says what keeps one from its target. */
  runs(limitOf: (run: number) => BindingLimit | null): RunCoverage[] {
    const planned = this.situation.runs.map((run): RunCoverage => {
      const uses = this.usesTo.get(run.index) ?? [];
      const coveredGrams = tellGrams(uses.reduce((sum, use) => sum + use.grams, 0));
      const choice = this.choiceOf(run.index, uses);
      const reached = coveredGrams >= run.targetGrams - 1;
      return {
        run: run.id,
        day: this.day(choice.day),
        strainId: this.situation.strains[choice.strain]!.id,
        minGrams: tellGrams(run.minGrams),
        targetGrams: tellGrams(run.targetGrams),
        coveredGrams,
        probability: null,
        limit: reached ? null : limitOf(run.index),
      };
    });
    const unplanned = this.situation.unplannedRuns.map(
      ({ id, day, strainId, minGrams, targetGrams, reason }): RunCoverage => ({
        run: id,
        day,
        strainId,
        minGrams,
        targetGrams,
        coveredGrams: 0,
        probability: null,
        limit: { kind: 'time', where: null, message: reason },
      }),
    );
    return [...planned, ...unplanned].sort((one, other) => compare(one.day, other.day) || compare(one.run, other.run));
  }

  /** Stock on hand that no use reaches in time, whole containers and rests of opened ones. */
  stranded(): StrandedContainer[] {
    const { situation } = this;
    const grams = new Map<string, number>();
    for (const discard of this.pegged.discards) grams.set(discard.from, (grams.get(discard.from) ?? 0) + discard.grams);
    const onHand = situation.containers.flatMap((container) => {
      const lost = tellGrams(grams.get(container.code) ?? 0);
      const untouched = !this.usesFrom.has(container.code);
      if (lost === 0 || !(untouched || container.kind === 'opened')) return [];
      return [{ code: container.code, grams: lost, expires: this.day(this.expiryOf(container.code, container.until)) }];
    });
    return [...situation.expired, ...onHand].sort(
      (one, other) => compare(one.expires, other.expires) || compare(one.code, other.code),
    );
  }

  reserveGaps(): ReserveGap[] {
    const gaps: ReserveGap[] = [];
    for (const { strain, day, until, missing } of this.pegged.lacks) {
      if (missing < 0.001) continue;
      const strainId = this.situation.strains[strain]!.id;
      const gap = { strainId, from: this.day(day), until: this.day(until), missing };
      const before = gaps.at(-1);
      const continues = before?.strainId === strainId && before.until === gap.from && before.missing === missing;
      if (continues) gaps[gaps.length - 1] = { ...before, until: gap.until };
      else gaps.push(gap);
    }
    return gaps;
  }

  private start(start: PeggedStart): PlannedStart {
    const { situation } = this;
    const mothers = this.usesTo.get(start.id) ?? [];
    const drawn = this.usesFrom.get(start.id) ?? [];
    return {
      id: start.id,
      benchDay: this.day(start.benchDay),
      strainId: situation.strains[start.strain]!.id,
      generation: start.generation,
      sizeId: situation.sizes[start.size]!.id,
      containers: start.containers,
      mothers: sumBy(mothers, (use) => use.from).map(([code, grams]) => ({ code, grams })),
      feeds: sumBy(drawn.filter(goesToRun), (use) => this.situation.runs[use.to.run]!.id).map(([run, grams]) => ({
        run,
        grams,
      })),
      mothersLaterGrams: tellGrams(
        drawn.filter((use) => use.to.kind === 'start').reduce((sum, use) => sum + use.grams, 0),
      ),
      reserveGrams: this.reserveGrams(start),
      ripeOn: this.day(start.ripeDay),
      lastSafeDay: this.day(this.lastSafeDay(start, drawn)),
    };
  }

  private reserveGrams(start: PeggedStart): number {
    const left = this.pegged.left.filter((each) => each.from === start.id);
    const isMother = start.generation < this.situation.strains[start.strain]!.lastGeneration;
    return isMother ? tellGrams(left.reduce((sum, each) => sum + each.grams, 0)) : 0;
  }

  /** The last bench day from which it would still be ripe by the first day one of its containers is opened. */
  private lastSafeDay(start: PeggedStart, drawn: readonly PeggedUse[]): number {
    const firstNeed = Math.min(this.situation.horizon, ...drawn.map((use) => use.openedOn));
    const daysToRipe = start.ripeDay - start.benchDay;
    const safe = this.slots.filter((slot) => slot.day + daysToRipe <= firstNeed);
    return Math.max(start.benchDay, safe.at(-1)?.day ?? start.benchDay);
  }

  private choiceOf(run: number, uses: readonly PeggedUse[]): { readonly strain: number; readonly day: number } {
    const [use] = uses;
    const choice = use?.to.kind === 'run' ? use.to.choice : 0;
    return waysOf(this.situation.runs[run]!)[choice]!;
  }

  private containersBySize(benchDay: number): { sizeId: string; count: number }[] {
    const counts = sumCounts(this.pegged.starts.filter((start) => start.benchDay === benchDay));
    return [...counts].map(([size, count]) => ({ sizeId: this.situation.sizes[size]!.id, count }));
  }

  /** Last day it can be used, given that the plan may chill it. */
  private expiryOf(code: string, until: number): number {
    const chilled = this.pegged.chillings.find((move) => move.from === code);
    const container = this.situation.containers.find((each) => each.code === code)!;
    return chilled ? chilled.day + this.situation.strains[container.strain]!.coldLifeDays : until;
  }

  private day(day: number): CalendarDay {
    return addDays(this.situation.asOf, day);
  }
}

function goesToRun(use: PeggedUse): use is PeggedUse & { to: { kind: 'run' } } {
  return use.to.kind === 'run';
}

function useName(use: PlannedUse): string {
  return use.to.kind === 'run' ? `run ${use.to.run}` : use.to.start;
}

function sumBy<Use extends PeggedUse>(uses: readonly Use[], name: (use: Use) => string): [string, number][] {
  const sums = new Map<string, number>();
  for (const use of uses) sums.set(name(use), (sums.get(name(use)) ?? 0) + use.grams);
  return [...sums]
    .filter(([, grams]) => grams > LEAST_GRAMS)
    .sort(([one], [other]) => compare(one, other))
    .map(([key, grams]) => [key, tellGrams(grams)]);
}

function sumCounts(starts: readonly PeggedStart[]): Map<number, number> {
  const counts = new Map<number, number>();
  for (const { size, containers, prepared } of starts) {
    if (containers > prepared) counts.set(size, (counts.get(size) ?? 0) + containers - prepared);
  }
  return counts;
}

function compare(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0;
}
