import { addDays, type CalendarDay, daysBetween, isoWeekday } from '../calendar/calendar-day.js';
import type { SpawnPlan } from './plan.js';
import {
  type ContainerSize,
  DEFAULT_CULTURE_LIFE_DAYS,
  DEFAULT_WARM_UP_DAYS,
  type FarmSituation,
  type StockContainer,
  type StrainProfile,
} from './situation.js';

/**
 * The rules of life as the checker reads them, straight from the situation. Written apart from the model on purpose: a
 * mistake in one should show against the other.
 */
export class CheckedFarm {
  readonly situation: FarmSituation;
  readonly plan: SpawnPlan;
  readonly faults: string[] = [];

  constructor(situation: FarmSituation, plan: SpawnPlan) {
    this.situation = situation;
    this.plan = plan;
  }

  expect(condition: boolean, fault: () => string): void {
    if (!condition) this.faults.push(fault());
  }

  day(day: CalendarDay): number {
    return daysBetween(this.situation.asOf, day);
  }

  strain(id: string): StrainProfile | undefined {
    return this.situation.strains.find((strain) => strain.id === id);
  }

  size(id: string): ContainerSize | undefined {
    return this.situation.sizes.find((size) => size.id === id);
  }

  isBenchDay(day: number): boolean {
    const date = addDays(this.situation.asOf, day);
    const { benchWeekdays, closedDays } = this.situation.rhythm;
    return benchWeekdays.includes(isoWeekday(date)) && !closedDays.includes(date);
  }

  /** Days on which a mother reserve is counted and containers are chilled. */
  handlingDays(): number[] {
    const days = Array.from({ length: this.situation.horizonDays + 1 }, (_, day) => day);
    const bench = days.filter((day) => day === 0 || this.isBenchDay(day));
    return bench.length > 1 ? bench : days.filter((day) => day % 7 === 0);
  }

  get warmUpDays(): number {
    return this.situation.rhythm.warmUpDays ?? DEFAULT_WARM_UP_DAYS;
  }

  cultureLifeDays(strain: StrainProfile): number {
    return strain.cultureLifeDays ?? DEFAULT_CULTURE_LIFE_DAYS;
  }

  /** Expected grams that a container on hand gives. */
  stockGrams(container: StockContainer): number {
    const incubating = container.state === 'incubating';
    const full =
      incubating && container.gramsLeft === 0 ? (this.size(container.sizeId)?.ripeGrams ?? 0) : container.gramsLeft;
    const loss = this.strain(container.strainId)?.lossRate ?? 0;
    return full * (container.survival ?? (incubating ? 1 - loss : 1));
  }

  /** Expected ripe day of a container on hand; never before `asOf` for one still incubating. */
  stockRipe(container: StockContainer): number {
    const strain = this.strain(container.strainId);
    const expected =
      container.ripeOn === null
        ? this.day(container.madeOn) + (container.generation === 0 ? 0 : (strain?.daysToRipe ?? 0))
        : this.day(container.ripeOn);
    return container.state === 'incubating' ? Math.max(0, expected) : Math.min(0, expected);
  }
}
