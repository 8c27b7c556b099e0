import { addDays, daysBetween, isoWeekday } from '../calendar/calendar-day.js';
import { startId } from '../planning/pegged-plan.js';
import type { BindingLimit, PlannedStart, SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import { type BrokenLimit, CapacityBook, limitSentence, type StartPlace } from './capacity-book.js';
import type { FarmChance } from './farm-chance.js';
import { Luck } from './luck.js';
import { type SimulatedFarm, type SimulatedStrain, simulatedFarm } from './simulated-farm.js';
import { StrainDraws, type StrainOutcome } from './strain-draws.js';

export interface AssuranceSearch {
  /** Probability with which every run shall be covered, 0 to below 1. */
  readonly assurance: number;
  readonly draws: number;
  readonly seed: number;
  /** Sets of starts to try out, over all strains. Counted, so that the same plan comes on every machine. */
  readonly trials: number;
  /** Starts that must stay as they are, by id: prepared or pinned. */
  readonly held: ReadonlySet<string>;
}

export interface AssuredStarts {
  readonly starts: readonly Pick<PlannedStart, 'benchDay' | 'strainId' | 'generation' | 'sizeId' | 'containers'>[];
  /** What keeps a run below the assurance, for each that stays below it. */
  readonly limits: ReadonlyMap<string, BindingLimit>;
  /** Whether any start differs from the plan's. */
  readonly changed: boolean;
}

/** A gain smaller than this is not worth a change of plan, in the farm's money. */
const LEAST_GAIN = 0.01;
/** How much dearer than its spawn a run below its assurance counts, so that assurance comes before money. */
const ASSURANCE_WEIGHT = 20;
/** Starts looked at for one run. */
const CANDIDATES = 4;
const STEPS = [1, 2, 4, 8] as const;

/**
 * Raises, shifts and trims a plan's starts until every run is covered with the assurance asked for, or what limits it is
 * known; beyond that it weighs the expected cost of shortage against containers, cycles and spawn that grows too old. All
 * variants meet the same luck.
 */
export function assureStarts(
  situation: FarmSituation,
  plan: SpawnPlan,
  chance: FarmChance,
  search: AssuranceSearch,
): AssuredStarts {
  const options = openOptions(situation, plan, search);
  const farm = simulatedFarm(situation, options.plan, chance);
  const book = new CapacityBook(farm.situation, plan);
  const luck = new Luck(search.seed, search.draws);
  const busy = farm.strains.filter(({ runs, starts }) => runs.length > 0 && starts.length > 0);
  const trials = Math.floor(search.trials / Math.max(1, busy.length));
  const searches = busy.map((strain) => new StrainAssurance(farm, strain, book, luck, search, trials));
  for (const each of searches) each.improve();
  const limits = new Map(searches.flatMap((each) => [...each.limits()]));
  const counts = new Map(searches.flatMap((each) => [...each.counts()]));
  const starts = options.plan.starts
    .map((start) => ({ ...start, containers: counts.get(start.id) ?? start.containers }))
    .filter(({ containers }) => containers > 0)
    .map(({ benchDay, strainId, generation, sizeId, containers }) => ({
      ...{ benchDay, strainId, generation, sizeId, containers },
    }));
  return { starts, limits, changed: searches.some((each) => each.changed) };
}

/** The plan with starts of no container beside its own, for the search to fill. */
function openOptions(
  situation: FarmSituation,
  plan: SpawnPlan,
  { held }: AssuranceSearch,
): { readonly plan: SpawnPlan } {
  const known = new Set(plan.starts.map(({ id }) => id));
  const benchDays = [...new Set([...plan.starts.map(({ benchDay }) => benchDay), ...benchDaysOf(situation)])].sort();
  const more: PlannedStart[] = [];
  for (const strain of situation.strains) {
    const own = plan.starts.filter((start) => start.strainId === strain.id);
    if (own.length === 0 || !plan.runs.some((run) => run.strainId === strain.id)) continue;
    for (const benchDay of benchDays) {
      // As the start nearest to it is made: of that generation and size.
      const like = own.reduce((best, start) => (apart(start, benchDay) < apart(best, benchDay) ? start : best));
      const id = startId(benchDay, strain.id, like.generation, like.sizeId);
      if (known.has(id) || held.has(id)) continue;
      more.push({ ...like, id, benchDay, containers: 0, mothers: [], feeds: [] });
    }
  }
  return { plan: { ...plan, starts: [...plan.starts, ...more] } };
}

function benchDaysOf(situation: FarmSituation): FarmSituation['asOf'][] {
  const days = Array.from({ length: situation.horizonDays + 1 }, (_, day) => addDays(situation.asOf, day));
  const closed = new Set<string>(situation.rhythm.closedDays);
  const weekdays = new Set<number>(situation.rhythm.benchWeekdays);
  return days.filter((day) => weekdays.has(isoWeekday(day)) && !closed.has(day));
}

function apart(start: PlannedStart, day: FarmSituation['asOf']): number {
  return Math.abs(daysBetween(start.benchDay, day));
}

/** One start that the search may change. */
interface Lever {
  readonly lot: number;
  readonly place: StartPlace;
  readonly ripeDay: number;
  readonly usedBy: number;
  readonly held: boolean;
}

class StrainAssurance {
  changed = false;
  private readonly farm: SimulatedFarm;
  private readonly strain: SimulatedStrain;
  private readonly book: CapacityBook;
  private readonly search: AssuranceSearch;
  private readonly draws: StrainDraws;
  private readonly levers: readonly Lever[];
  private readonly current: number[];
  private readonly blocked = new Map<number, BrokenLimit>();
  private outcome: StrainOutcome;
  private worth: number;
  private trialsLeft: number;

  constructor(
    farm: SimulatedFarm,
    strain: SimulatedStrain,
    book: CapacityBook,
    luck: Luck,
    search: AssuranceSearch,
    trials: number,
  ) {
    this.farm = farm;
    this.strain = strain;
    this.book = book;
    this.search = search;
    this.draws = new StrainDraws(farm, strain, luck);
    this.current = strain.lots.map(({ containers }) => containers);
    this.levers = this.findLevers();
    this.outcome = this.draws.run(this.current);
    this.worth = this.worthOf(this.outcome);
    this.trialsLeft = trials;
  }

  /** Raises for runs below the assurance, then trims what buys nothing, and again while it helps. */
  improve(): void {
    for (let again = true; again && this.trialsLeft > 0; ) {
      const before = this.worth;
      this.raise();
      this.trim();
      again = before - this.worth > LEAST_GAIN;
    }
  }

  counts(): Map<string, number> {
    return new Map(this.levers.map(({ lot }) => [this.strain.lots[lot]!.name, this.current[lot]!]));
  }

  limits(): Map<string, BindingLimit> {
    const limits = new Map<string, BindingLimit>();
    this.strain.runs.forEach((run, place) => {
      if (this.probability(place) < this.search.assurance - this.tolerance()) limits.set(run.id, this.limitOf(place));
    });
    return limits;
  }

  private findLevers(): Lever[] {
    const { lots, starts, chance, strain } = this.strain;
    return starts.flatMap(({ lot }) => {
      const { startDay, ripeDay, generation, name, size } = lots[lot]!;
      const slot = this.book.slots.find((each) => each.day === startDay);
      if (!slot || generation > strain.lastGeneration) return [];
      const life = strain.warmLifeDays + lots[lot]!.coldLife;
      return [
        {
          lot,
          place: { slot, size, ripeDay: Math.round(startDay + chance.daysToRipe) },
          ripeDay,
          usedBy: ripeDay + life,
          held: this.search.held.has(name),
        },
      ];
    });
  }

  private raise(): void {
    for (let place = 0; place < this.strain.runs.length && this.trialsLeft > 0; place += 1) {
      while (this.trialsLeft > 0 && this.needsMore(place)) {
        if (!this.raiseFor(place)) break;
      }
    }
  }

  /** A run below its assurance, or one whose expected shortage costs more than a container. */
  private needsMore(place: number): boolean {
    if (this.probability(place) < this.search.assurance) return true;
    const { weight } = this.strain.runs[place]!;
    const { costs } = this.farm.situation;
    return this.outcome.shortGrams[place]! * weight * costs.perGramShort > costs.perContainerStarted;
  }

  /** Tries a few starts and a few sizes of step; takes the change that is worth most. */
  private raiseFor(place: number): boolean {
    let best: { readonly lever: Lever; readonly by: number; readonly worth: number } | null = null;
    for (const lever of this.candidatesFor(place)) {
      for (const by of STEPS) {
        const limit = this.book.brokenBy(lever.place, by);
        if (limit) {
          if (!this.blocked.has(place)) this.blocked.set(place, limit);
          break;
        }
        const worth = this.tried(lever, by);
        if (worth < (best?.worth ?? this.worth - LEAST_GAIN)) best = { lever, by, worth };
        else if (best !== null && best.lever === lever) break;
      }
    }
    if (best === null) return false;
    this.apply(best.lever, best.by);
    return true;
  }

  /** Starts that are ripe before the run and keep until it, the last first; one early enough to be late by chance too. */
  private candidatesFor(place: number): Lever[] {
    const { day } = this.strain.runs[place]!;
    const { lotDeviationDays } = this.strain.chance;
    const able = this.levers
      .filter((lever) => !lever.held && lever.ripeDay <= day && lever.usedBy >= day)
      .sort((one, other) => other.ripeDay - one.ripeDay);
    const safe = able.filter((lever) => lever.ripeDay + 1.7 * lotDeviationDays <= day);
    const standing = safe.filter((lever) => this.current[lever.lot]! > 0);
    return [...new Set([...standing.slice(0, 2), ...safe.slice(0, 2), ...able.slice(0, 1)])].slice(0, CANDIDATES);
  }

  private trim(): void {
    const idle = this.levers
      .filter(({ lot, held }) => !held && this.current[lot]! > 0)
      .sort((one, other) => this.outcome.unused[other.lot]! - this.outcome.unused[one.lot]!);
    for (const lever of idle) {
      for (let by = 1; this.trialsLeft > 0 && this.current[lever.lot]! >= by; by *= 2) {
        const worth = this.tried(lever, -by);
        if (worth > this.worth - LEAST_GAIN) break;
        this.apply(lever, -by);
      }
    }
  }

  private tried(lever: Lever, by: number): number {
    this.trialsLeft -= 1;
    this.current[lever.lot]! += by;
    const worth = this.worthOf(this.draws.run(this.current)) + this.book.costOf(lever.place, by);
    this.current[lever.lot]! -= by;
    return worth;
  }

  private apply(lever: Lever, by: number): void {
    this.current[lever.lot]! += by;
    this.book.take(lever.place, by);
    this.outcome = this.draws.run(this.current);
    this.worth = this.worthOf(this.outcome);
    this.changed = true;
  }

  /** Expected money, without what the starts themselves cost, and the weight of every missing point of assurance. */
  private worthOf(outcome: StrainOutcome): number {
    const { costs } = this.farm.situation;
    let sum = outcome.agedOutGrams * costs.perGramAgedOut;
    this.strain.runs.forEach((run, place) => {
      const { weight, minGrams } = run;
      sum += weight * outcome.shortGrams[place]! * costs.perGramShort;
      sum += weight * outcome.belowTargetGrams[place]! * costs.perGramBelowTarget;
      const missing = this.search.assurance - outcome.covered[place]! / this.search.draws;
      if (missing > 0) sum += ASSURANCE_WEIGHT * missing * minGrams * costs.perGramShort;
    });
    return sum;
  }

  private probability(place: number): number {
    return this.outcome.covered[place]! / this.search.draws;
  }

  /** Draws cannot tell a run from its assurance more finely than this. */
  private tolerance(): number {
    const { assurance, draws } = this.search;
    return Math.sqrt((assurance * (1 - assurance)) / draws);
  }

  private limitOf(place: number): BindingLimit {
    const { situation } = this.farm;
    const broken = this.blocked.get(place);
    if (broken) {
      const more = this.smallestLift(place);
      const where = broken.kind === 'clean-containers' ? broken.subject : addDays(situation.asOf, broken.day);
      return { kind: broken.kind, where, message: limitSentence(situation, broken, more) };
    }
    const run = this.strain.runs[place]!;
    const able = this.levers.filter((lever) => lever.ripeDay <= run.day);
    if (able.length === 0) return { kind: 'time', where: null, message: this.tooLate(run.day) };
    const short = this.strain.starts.some((_, start) => this.outcome.notStarted[start]! > 0.5);
    if (short) {
      const message = `Mothers of ${this.strain.strain.id} may be too few for what is to be started; a second mother lot would help.`;
      return { kind: 'mothers', where: this.strain.strain.id, message };
    }
    const message = 'More spawn for it would cost more than it makes safer, or is too old by its day.';
    return { kind: 'cost', where: null, message };
  }

  private tooLate(day: number): string {
    const first = Math.min(...this.levers.map(({ ripeDay }) => ripeDay));
    if (!Number.isFinite(first)) return 'Nothing that can still be started reaches it.';
    const date = addDays(this.farm.situation.asOf, Math.ceil(first));
    return `What is started now is ripe on ${date} at the earliest; only what stands already can cover the run ${Math.ceil(first - day)} days before.`;
  }

  /** The fewest containers more, on the best start for the run, that would reach the assurance if nothing limited them. */
  private smallestLift(place: number): number {
    const [lever] = this.candidatesFor(place);
    if (!lever) return 1;
    const reaches = (by: number) => {
      const counts = [...this.current];
      counts[lever.lot]! += by;
      return this.draws.run(counts).covered[place]! / this.search.draws >= this.search.assurance;
    };
    let high = 1;
    while (high < 64 && !reaches(high)) high *= 2;
    let low = Math.floor(high / 2);
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      if (reaches(middle)) high = middle;
      else low = middle;
    }
    return high;
  }
}
