import { benchDaysFrom } from '../calendar/bench-days.js';
import { dayNumber, type IsoWeekday } from '../calendar/calendar-day.js';
import { acceptRuns } from './accept-runs.js';
import { acceptStanding } from './accept-standing.js';
import { acceptStock } from './accept-stock.js';
import type {
  AcceptedCosts,
  AcceptedRhythm,
  AcceptedSituation,
  AcceptedSize,
  AcceptedStrain,
} from './accepted-situation.js';
import type { Impossibility } from './plan.js';
import {
  DEFAULT_COST_PER_CONTAINER_CHANGED,
  DEFAULT_COST_PER_CONTAINER_CHILLED,
  DEFAULT_COST_PER_MOTHER_MISSING_DAY,
  DEFAULT_CULTURE_LIFE_DAYS,
  DEFAULT_WARM_UP_DAYS,
  type FarmSituation,
  type Room,
  type RoomKind,
} from './situation.js';
import { requireCountable } from './situation-numbers.js';

/**
 * Turns a situation into one the planner can count with. Things no plan can honour are reported and left out, so that
 * the rest is planned all the same.
 * @param onlyStanding whether nothing but what stands already may be started
 * @throws DomainError `situation-not-valid` when a number or a day has no meaning.
 */
export function acceptSituation(situation: FarmSituation, onlyStanding = false): AcceptedSituation {
  const known = onlyStanding ? undefined : knownSituations.get(situation);
  if (known) return known;
  const accepted = accept(situation, onlyStanding);
  if (!onlyStanding) knownSituations.set(situation, accepted);
  return accepted;
}

/** A plan with chance asks for its situation some dozens of times, and nothing changes one. */
const knownSituations = new WeakMap<FarmSituation, AcceptedSituation>();

function accept(situation: FarmSituation, onlyStanding: boolean): AcceptedSituation {
  requireCountable(situation);
  const strains = situation.strains.map(acceptStrain);
  const sizes = situation.sizes.map((size, index) => acceptSize(situation, size, index));
  const stock = acceptStock(situation, strains, sizes);
  const runs = acceptRuns(situation, strains);
  const { standing, impossible } = acceptStanding(situation, strains, sizes, onlyStanding);
  return {
    asOf: situation.asOf,
    horizon: situation.horizonDays,
    rhythm: acceptRhythm(situation),
    strains,
    sizes,
    containers: stock.containers,
    runs: runs.runs,
    unplannedRuns: runs.unplanned,
    incubationPlaces: placesOf(situation.rooms, 'incubation') ?? Number.POSITIVE_INFINITY,
    coldPlaces: placesOf(situation.rooms, 'cold') ?? 0,
    costs: acceptCosts(situation),
    standing,
    impossible: [...rhythmImpossible(situation, sizes), ...stock.impossible, ...runs.impossible, ...impossible],
    expired: stock.expired,
  };
}

function acceptStrain(strain: FarmSituation['strains'][number], index: number): AcceptedStrain {
  return {
    index,
    id: strain.id,
    daysToRipe: strain.daysToRipe,
    survival: 1 - strain.lossRate,
    warmLifeDays: strain.warmLifeDays,
    coldLifeDays: strain.coldLifeDays,
    mayBeChilled: strain.mayBeChilled,
    lastGeneration: strain.lastGeneration,
    motherReserve: strain.lastGeneration >= 2 ? strain.motherReserve : 0,
    inoculumGrams: strain.inoculumGramsPerContainer,
    culture: strain.culture,
    cultureLifeDays: strain.cultureLifeDays ?? DEFAULT_CULTURE_LIFE_DAYS,
  };
}

function acceptSize(situation: FarmSituation, size: FarmSituation['sizes'][number], index: number): AcceptedSize {
  const { vesselPlaces } = situation.rhythm;
  return {
    index,
    id: size.id,
    ripeGrams: size.ripeGrams,
    inoculumFactor: size.inoculumFactor,
    shelfPlaces: size.shelfPlaces,
    vesselPlaces: size.vesselPlaces,
    perCycle: size.vesselPlaces > 0 ? Math.floor(vesselPlaces / size.vesselPlaces + 1e-9) : Number.POSITIVE_INFINITY,
    cleanEmpty: size.cleanEmpty,
  };
}

function acceptRhythm({ asOf, rhythm }: FarmSituation): AcceptedRhythm {
  return {
    isBenchWeekday: [0, 1, 2, 3, 4, 5, 6, 7].map((weekday) => rhythm.benchWeekdays.includes(weekday as IsoWeekday)),
    closedDays: new Set(rhythm.closedDays.map((day) => dayNumber(day) - dayNumber(asOf))),
    containersPerBenchDay: containersIn(rhythm, rhythm.benchMinutesPerDay),
    containersOnDay: new Map(
      (rhythm.benchMinutesOnDay ?? []).map(({ day, minutes }) => [
        dayNumber(day) - dayNumber(asOf),
        containersIn(rhythm, minutes),
      ]),
    ),
    vesselPlaces: rhythm.vesselPlaces,
    cyclesPerPreparationDay: rhythm.cyclesPerPreparationDay,
    preparationLeadDays: rhythm.preparationLeadDays,
    openedLifeDays: rhythm.openedLifeDays,
    washingDays: rhythm.washingDays,
    warmUpDays: rhythm.warmUpDays ?? DEFAULT_WARM_UP_DAYS,
  };
}

/** Containers that can be inoculated in some minutes at the bench; null: only the count limits. */
function containersIn(rhythm: FarmSituation['rhythm'], minutes: number | null): number {
  const { benchContainersPerDay, benchMinutesPerContainer } = rhythm;
  if (minutes === null || benchMinutesPerContainer <= 0) return benchContainersPerDay;
  return Math.min(benchContainersPerDay, Math.floor(minutes / benchMinutesPerContainer + 1e-9));
}

function acceptCosts({ asOf, costs }: FarmSituation): AcceptedCosts {
  const cycleCosts = (costs.cycleCostOnDay ?? []).map(
    ({ day, cost }) => [dayNumber(day) - dayNumber(asOf), cost] as const,
  );
  return {
    ...costs,
    // A gram below the minimum can never be cheaper than one below the target, or the planner would leave runs uncovered.
    perGramShort: Math.max(costs.perGramShort, costs.perGramBelowTarget),
    perContainerChilled: costs.perContainerChilled ?? DEFAULT_COST_PER_CONTAINER_CHILLED,
    perMotherMissingDay: costs.perMotherMissingDay ?? DEFAULT_COST_PER_MOTHER_MISSING_DAY,
    perGramSecondChoice: costs.perGramSecondChoice ?? 0,
    perContainerChanged: costs.perContainerChanged ?? DEFAULT_COST_PER_CONTAINER_CHANGED,
    cycleCostOnDay: new Map(cycleCosts),
  };
}

function placesOf(rooms: readonly Room[], kind: RoomKind): number | null {
  const ofKind = rooms.filter((room) => room.kind === kind);
  return ofKind.length === 0 ? null : ofKind.reduce((sum, room) => sum + room.places, 0);
}

function rhythmImpossible(situation: FarmSituation, sizes: readonly AcceptedSize[]): Impossibility[] {
  const { rhythm, asOf, horizonDays } = situation;
  const found: Impossibility[] = [];
  const say = (code: string, subject: string, message: string) => found.push({ code, subject, message });
  if (benchDaysFrom(rhythm, asOf, horizonDays).length === 0)
    say('no-bench-days', 'rhythm', 'There is no bench day within the horizon, so nothing can be started.');
  if (rhythm.benchContainersPerDay < 1) {
    say('no-bench-capacity', 'rhythm', 'No container can be inoculated on a bench day, so nothing can be started.');
  }
  if (rhythm.cyclesPerPreparationDay < 1) {
    say(
      'no-steriliser-cycles',
      'rhythm',
      'There is no steriliser cycle on a preparation day, so nothing can be started.',
    );
  }
  for (const size of sizes.filter((each) => each.perCycle < 1)) {
    say('size-does-not-fit', size.id, `A ${size.id} does not fit the steriliser, so none can be started.`);
  }
  if (sizes.length === 0) say('no-sizes', 'sizes', 'No size of container is known, so nothing can be started.');
  return found;
}
