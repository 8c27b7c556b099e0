import { isCalendarDay } from '../calendar/calendar-day.js';
import { DomainError } from '../errors.js';
import type { FarmSituation } from './situation.js';

/**
 * Refuses a situation that holds something no calculation has a meaning for: a number that is not finite or negative, a
 * day that does not exist, two things under one id. What has a meaning but cannot be honoured (a run in the past, an
 * unknown strain) is not refused here: it is planned around and reported.
 *
 * @throws DomainError `situation-not-valid`, with every fault in `details.faults`, not only the first.
 */
export function requireCountable(situation: FarmSituation): void {
  const faults = [
    ...dayFaults(situation),
    ...rhythmFaults(situation),
    ...strainFaults(situation),
    ...sizeFaults(situation),
    ...stockFaults(situation),
    ...runFaults(situation),
    ...situation.rooms.flatMap((room) => numberFaults(`room ${room.id}`, { places: room.places })),
    ...costFaults(situation),
    ...standingFaults(situation),
    ...repeated(
      'strain',
      situation.strains.map((strain) => strain.id),
    ),
    ...repeated(
      'size',
      situation.sizes.map((size) => size.id),
    ),
    ...repeated(
      'container',
      situation.stock.map((container) => container.code),
    ),
    ...repeated(
      'run',
      situation.runs.map((run) => run.id),
    ),
  ];
  if (faults.length === 0) return;
  throw new DomainError('situation-not-valid', `This farm cannot be planned: ${faults.join(' ')}`, { faults });
}

function dayFaults(situation: FarmSituation): string[] {
  return [
    ...calendarFaults('the planning day', [situation.asOf]),
    ...numberFaults('the horizon', { horizonDays: situation.horizonDays }, whole),
    ...(situation.horizonDays > 730 ? [`The horizon of ${situation.horizonDays} days is longer than two years.`] : []),
    ...calendarFaults('closed days', situation.rhythm.closedDays),
    ...calendarFaults(
      'days with other bench minutes',
      (situation.rhythm.benchMinutesOnDay ?? []).map(({ day }) => day),
    ),
  ];
}

function rhythmFaults({ rhythm }: FarmSituation): string[] {
  const counts = {
    benchContainersPerDay: rhythm.benchContainersPerDay,
    vesselPlaces: rhythm.vesselPlaces,
    cyclesPerPreparationDay: rhythm.cyclesPerPreparationDay,
    preparationLeadDays: rhythm.preparationLeadDays,
    openedLifeDays: rhythm.openedLifeDays,
    washingDays: rhythm.washingDays,
    ...(rhythm.warmUpDays === undefined ? {} : { warmUpDays: rhythm.warmUpDays }),
  };
  const minutes = {
    benchMinutesPerContainer: rhythm.benchMinutesPerContainer,
    ...(rhythm.benchMinutesPerDay === null ? {} : { benchMinutesPerDay: rhythm.benchMinutesPerDay }),
  };
  const weekdays = rhythm.benchWeekdays.filter((weekday) => ![1, 2, 3, 4, 5, 6, 7].includes(weekday));
  return [
    ...numberFaults('the rhythm', counts, whole),
    ...numberFaults('the rhythm', minutes),
    ...(rhythm.benchMinutesOnDay ?? []).flatMap(({ day, minutes: given }) =>
      numberFaults(`the bench on ${day}`, { minutes: given }),
    ),
    ...repeated(
      'bench day',
      (rhythm.benchMinutesOnDay ?? []).map(({ day }) => day),
    ),
    ...weekdays.map((weekday) => `Bench weekday ${String(weekday)} is not 1 (Monday) to 7 (Sunday).`),
  ];
}

function strainFaults({ strains }: FarmSituation): string[] {
  return strains.flatMap((strain) => [
    ...numberFaults(`strain ${strain.id}`, {
      inoculumGramsPerContainer: strain.inoculumGramsPerContainer,
      lossRate: strain.lossRate,
      ...(strain.culture === null
        ? {}
        : { containersPerUnit: strain.culture.containersPerUnit, costPerUnit: strain.culture.costPerUnit }),
    }),
    ...numberFaults(
      `strain ${strain.id}`,
      {
        daysToRipe: strain.daysToRipe,
        warmLifeDays: strain.warmLifeDays,
        coldLifeDays: strain.coldLifeDays,
        lastGeneration: strain.lastGeneration,
        motherReserve: strain.motherReserve,
        ...(strain.culture === null ? {} : { leadDays: strain.culture.leadDays }),
        ...(strain.cultureLifeDays === undefined ? {} : { cultureLifeDays: strain.cultureLifeDays }),
      },
      whole,
    ),
    ...(strain.lossRate >= 1 ? [`strain ${strain.id}: lossRate must be below 1, not ${strain.lossRate}.`] : []),
  ]);
}

function sizeFaults({ sizes }: FarmSituation): string[] {
  return sizes.flatMap((size) => [
    ...numberFaults(`size ${size.id}`, {
      ripeGrams: size.ripeGrams,
      inoculumFactor: size.inoculumFactor,
      vesselPlaces: size.vesselPlaces,
      shelfPlaces: size.shelfPlaces,
    }),
    ...(size.ripeGrams > 0 ? [] : [`size ${size.id}: ripeGrams must be above 0, not ${size.ripeGrams}.`]),
    ...(size.cleanEmpty === null ? [] : numberFaults(`size ${size.id}`, { cleanEmpty: size.cleanEmpty }, whole)),
  ]);
}

function stockFaults({ stock }: FarmSituation): string[] {
  return stock.flatMap((container) => {
    const days = [container.madeOn, container.ripeOn, container.chilledOn, container.openedOn];
    const survival = container.survival ?? 1;
    return [
      ...calendarFaults(
        `container ${container.code}`,
        days.filter((day) => day !== null),
      ),
      ...numberFaults(`container ${container.code}`, { gramsLeft: container.gramsLeft, survival }),
      ...numberFaults(`container ${container.code}`, { generation: container.generation }, whole),
      ...(survival > 1 ? [`container ${container.code}: survival must be at most 1, not ${survival}.`] : []),
    ];
  });
}

function runFaults({ runs }: FarmSituation): string[] {
  return runs.flatMap((run) => [
    ...calendarFaults(`run ${run.id}`, [run.day]),
    ...numberFaults(`run ${run.id}`, {
      minGrams: run.minGrams,
      targetGrams: run.targetGrams,
      maxGrams: run.maxGrams,
      priority: run.priority,
    }),
    ...numberFaults(`run ${run.id}`, { slackDays: run.slackDays }, whole),
  ]);
}

function costFaults({ costs }: FarmSituation): string[] {
  const { cycleCostOnDay, ...rates } = costs;
  const given = Object.fromEntries(Object.entries(rates).filter(([, rate]) => rate !== undefined));
  return [
    ...numberFaults('the costs', given),
    ...(cycleCostOnDay ?? []).flatMap(({ day, cost }) => [
      ...calendarFaults('the costs', [day]),
      ...numberFaults(`the cost of a cycle on ${day}`, { cost }),
    ]),
  ];
}

function standingFaults({ standing = [] }: FarmSituation): string[] {
  return standing.flatMap((start) => {
    const subject = `the standing start of ${start.strainId} on ${start.benchDay}`;
    const { containers, generation } = start;
    return [...calendarFaults(subject, [start.benchDay]), ...numberFaults(subject, { containers, generation }, whole)];
  });
}

const whole = true;

function numberFaults(subject: string, numbers: Readonly<Record<string, number>>, mustBeWhole = false): string[] {
  return Object.entries(numbers)
    .filter(([, value]) => !Number.isFinite(value) || value < 0 || (mustBeWhole && !Number.isInteger(value)))
    .map(
      ([name, value]) =>
        `${subject}: ${name} must be ${mustBeWhole ? 'a whole number' : 'a number'} of 0 or more, not ${value}.`,
    );
}

function calendarFaults(subject: string, days: readonly string[]): string[] {
  return days.filter((day) => !isCalendarDay(day)).map((day) => `${subject}: "${day}" is not a day that exists.`);
}

function repeated(kind: string, ids: readonly string[]): string[] {
  const seen = new Set<string>();
  const twice = new Set(ids.filter((id) => seen.has(id) || !seen.add(id)));
  return [...twice].map((id) => `There are two of ${kind} ${id}.`);
}
