import { benchDaysFrom } from '../calendar/bench-days.js';
import { addDays, dayNumber } from '../calendar/calendar-day.js';
import { startId } from '../planning/pegged-plan.js';
import type { PlannedStart, SpawnPlan } from '../planning/plan.js';
import type { FarmSituation } from '../planning/situation.js';
import type { CapacityBook, StartPlace } from './capacity-book.js';
import type { StandingWeights } from './changes-cost.js';
import type { SimulatedStrain } from './simulated-farm.js';

/** One start that the search may change. */
export interface Lever {
  /** Place of its lot in the simulated strain. */
  readonly lot: number;
  readonly place: StartPlace;
  readonly ripeDay: number;
  readonly usedBy: number;
  readonly held: boolean;
  /** What the culture for one container costs; 0 when it comes from a mother. */
  readonly culturePerContainer: number;
  /** Containers that stand of it already, and what one more or fewer weighs. */
  readonly stood: number;
  readonly perContainerChanged: number;
}

/** The starts of a strain that have a bench day and may still be made. */
export function leversOf(
  { lots, starts, chance, strain }: SimulatedStrain,
  { slots, asOf }: CapacityBook,
  held: ReadonlySet<string>,
  standing: StandingWeights,
): Lever[] {
  return starts.flatMap(({ lot, fromCulture, inoculumGramsEach }) => {
    const { startDay, ripeDay, generation, name, size, coldLife } = lots[lot]!;
    const slot = slots.find((each) => each.day === startDay);
    if (!slot || generation > strain.lastGeneration) return [];
    // Only what is prepared already is started there: its grain is counted, and no more can be made in time.
    if (!slot.canPrepare && !held.has(name)) return [];
    const { culture } = strain;
    const grams = culture === null ? 0 : culture.containersPerUnit * strain.inoculumGrams;
    return [
      {
        lot,
        place: { slot, size, ripeDay: Math.round(startDay + chance.daysToRipe) },
        ripeDay,
        usedBy: ripeDay + strain.warmLifeDays + coldLife,
        held: held.has(name),
        stood: standing.containersOf(name),
        perContainerChanged: standing.perContainerOn(addDays(asOf, startDay)),
        culturePerContainer: fromCulture && grams > 0 ? (culture!.costPerUnit * inoculumGramsEach) / grams : 0,
      },
    ];
  });
}

/** The plan with starts of no container beside its own, for the search to fill. */
export function withOpenStarts(situation: FarmSituation, plan: SpawnPlan, held: ReadonlySet<string>): SpawnPlan {
  const known = new Set(plan.starts.map(({ id }) => id));
  const benchDays = [
    ...new Set([
      ...plan.starts.map(({ benchDay }) => benchDay),
      ...benchDaysFrom(situation.rhythm, situation.asOf, situation.horizonDays),
    ]),
  ].sort();
  const more: PlannedStart[] = [];
  for (const strain of situation.strains) {
    const own = plan.starts.filter((start) => start.strainId === strain.id);
    if (own.length === 0 || !plan.runs.some((run) => run.strainId === strain.id)) continue;
    // Culture is dear and soon used up: what mothers can make is not made from it.
    const fromMothers = own.filter(({ generation }) => generation > 1);
    const likes = fromMothers.length > 0 ? fromMothers : own;
    const days = likes.map((start) => dayNumber(start.benchDay));
    for (const benchDay of benchDays) {
      // As the start nearest to it is made: of that generation and size.
      const like = likes[nearest(days, dayNumber(benchDay))]!;
      const id = startId(benchDay, strain.id, like.generation, like.sizeId);
      if (known.has(id) || held.has(id)) continue;
      more.push({ ...like, id, benchDay, containers: 0, mothers: [], feeds: [] });
    }
  }
  return { ...plan, starts: [...plan.starts, ...more] };
}

/** Place of the day nearest to a day; the first of two that are as near. */
function nearest(days: readonly number[], to: number): number {
  let best = 0;
  for (let place = 1; place < days.length; place += 1)
    if (Math.abs(days[place]! - to) < Math.abs(days[best]! - to)) best = place;
  return best;
}
