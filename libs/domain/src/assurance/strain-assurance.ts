import { addDays } from '../calendar/calendar-day.js';
import type { BindingLimit } from '../planning/plan.js';
import type { AssuranceSearch } from './assurance-search.js';
import { type BrokenLimit, type CapacityBook, limitSentence } from './capacity-book.js';
import type { StandingWeights } from './changes-cost.js';
import type { Luck } from './luck.js';
import type { SimulatedFarm, SimulatedStrain } from './simulated-farm.js';
import { type Lever, leversOf } from './start-levers.js';
import { StrainDraws } from './strain-draws.js';
import { StrainTrials } from './strain-trials.js';

/** A gain smaller than this is not worth a change of plan, in the farm's money. */
const LEAST_GAIN = 0.01;
/** Starts looked at for one run. */
const CANDIDATES = 4;
const STEPS = [1, 2, 4, 8] as const;

/** Raises, shifts and trims the starts of one strain. */
export class StrainAssurance {
  changed = false;
  /** What the changes made are worth. */
  gain = 0;
  private readonly farm: SimulatedFarm;
  private readonly strain: SimulatedStrain;
  private readonly book: CapacityBook;
  private readonly search: AssuranceSearch;
  private readonly trials: StrainTrials;
  private readonly levers: readonly Lever[];
  private readonly current: number[];
  private readonly blocked = new Map<number, BrokenLimit>();
  private trialsLeft: number;
  /** How runs and starts stood when nothing was found worth doing for them: while they stand so, nothing will be. */
  private readonly hopeless = new Map<number, string>();
  private readonly needed = new Map<number, string>();

  constructor(
    farm: SimulatedFarm,
    strain: SimulatedStrain,
    book: CapacityBook,
    luck: Luck,
    search: AssuranceSearch,
    standing: StandingWeights,
    trials: number,
  ) {
    this.farm = farm;
    this.strain = strain;
    this.book = book;
    this.search = search;
    const { costs, horizon } = farm.situation;
    this.trials = new StrainTrials(new StrainDraws(farm, strain, luck), costs, search.assurance, horizon);
    this.current = strain.lots.map(({ containers }) => containers);
    this.levers = leversOf(strain, book, search.held, standing);
    this.trialsLeft = trials;
  }

  /** Raises for runs below the assurance, then trims what buys nothing, and again while it helps. */
  improve(): void {
    for (let again = true; again && this.trialsLeft > 0; ) {
      const before = this.trials.worth;
      this.raise();
      this.trim();
      again = before - this.trials.worth > LEAST_GAIN;
    }
  }

  counts(): Map<string, number> {
    return new Map(this.levers.map(({ lot }) => [this.strain.lots[lot]!.name, this.current[lot]!]));
  }

  /** What keeps a run of the strain below the assurance; null when it is reached, or the run is not the strain's. */
  limit(id: string): BindingLimit | null {
    const place = this.strain.runs.findIndex((run) => run.id === id);
    if (place < 0 || this.probability(place) >= this.search.assurance - this.tolerance()) return null;
    return this.limitOf(place);
  }

  private raise(): void {
    for (let place = 0; place < this.strain.runs.length && this.trialsLeft > 0; place += 1) {
      while (this.trialsLeft > 0 && this.needsMore(place)) {
        if (this.hopeless.get(place) === this.stateOfRun(place)) break;
        if (this.raiseFor(place)) continue;
        this.hopeless.set(place, this.stateOfRun(place));
        break;
      }
    }
  }

  /** A run below its assurance, or one whose expected shortage costs more than a container. */
  private needsMore(place: number): boolean {
    if (this.probability(place) < this.search.assurance) return true;
    const { weight } = this.strain.runs[place]!;
    const { costs } = this.farm.situation;
    return this.trials.shortGrams[place]! * weight * costs.perGramShort > costs.perContainerStarted;
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
        if (worth < (best?.worth ?? this.trials.worth - LEAST_GAIN)) best = { lever, by, worth };
        else if (best !== null && best.lever === lever) break;
      }
    }
    return best !== null && this.apply(best.lever, best.by);
  }

  /** Starts that are ripe before the run and keep until it, the last first; one early enough to be late by chance too. */
  private candidatesFor(place: number): Lever[] {
    const { day } = this.strain.runs[place]!;
    const { lotDeviationDays } = this.strain.chance;
    const able = this.sparingCulture(
      this.levers.filter((lever) => !lever.held && lever.ripeDay <= day && lever.usedBy >= day),
    ).sort((one, other) => other.ripeDay - one.ripeDay);
    const safe = able.filter((lever) => lever.ripeDay + 1.7 * lotDeviationDays <= day);
    const standing = safe.filter((lever) => this.current[lever.lot]! > 0);
    return [...new Set([...standing.slice(0, 2), ...safe.slice(0, 2), ...able.slice(0, 1)])].slice(0, CANDIDATES);
  }

  /** Where only so many units of culture can be had, a run gets no more made from it than it must: the strain would end. */
  private sparingCulture(levers: readonly Lever[]): Lever[] {
    const isScarce = Number.isFinite(this.strain.strain.culture?.unitsAvailable ?? Number.POSITIVE_INFINITY);
    const fromMothers = isScarce ? levers.filter(({ culturePerContainer }) => culturePerContainer === 0) : [];
    return fromMothers.length > 0 ? fromMothers : [...levers];
  }

  private trim(): void {
    const idle = this.levers
      .filter(({ lot, held }) => !held && this.current[lot]! > 0)
      .sort((one, other) => this.trials.unused[other.lot]! - this.trials.unused[one.lot]!);
    for (const lever of idle) {
      if (this.needed.get(lever.lot) === this.stateOfStart(lever)) continue;
      for (let by = 1; this.trialsLeft > 0 && this.current[lever.lot]! >= by; by *= 2) {
        const worth = this.tried(lever, -by);
        if (worth > this.trials.worth - LEAST_GAIN || !this.apply(lever, -by)) break;
      }
      this.needed.set(lever.lot, this.stateOfStart(lever));
    }
  }

  private stateOfRun(place: number): string {
    return `${this.probability(place)}|${this.trials.shortGrams[place]}`;
  }

  private stateOfStart({ lot }: Lever): string {
    return `${this.current[lot]}|${this.trials.unused[lot]}`;
  }

  private tried(lever: Lever, by: number): number {
    this.trialsLeft -= 1;
    return this.trials.tried(lever.lot, by) + this.costOf(lever, by, this.current[lever.lot]!);
  }

  /** Changes a start when, lived through in full, it is worth it. */
  private apply(lever: Lever, by: number): boolean {
    const before = this.trials.worth;
    const cost = this.costOf(lever, by, this.current[lever.lot]!);
    this.current[lever.lot]! += by;
    this.trials.hold(this.current);
    if (this.trials.worth + cost > before - LEAST_GAIN) {
      this.current[lever.lot]! -= by;
      this.trials.hold(this.current);
      return false;
    }
    this.book.take(lever.place, by);
    this.gain += before - this.trials.worth - cost;
    this.changed = true;
    return true;
  }

  /** @param from containers the change sets out from */
  private costOf({ place, culturePerContainer, stood, perContainerChanged }: Lever, by: number, from: number): number {
    const moved = Math.abs(from + by - stood) - Math.abs(from - stood);
    return this.book.costOf(place, by) + by * culturePerContainer + moved * perContainerChanged;
  }

  private probability(place: number): number {
    return this.trials.probability(place);
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
    const short = this.strain.starts.some((_, start) => this.trials.notStarted[start]! > 0.5);
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
      const counts = this.current.with(lever.lot, this.current[lever.lot]! + by);
      return this.trials.isCovered(place, counts, this.search.assurance);
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
