import type { AcceptedSituation, AcceptedStrain } from './accepted-situation.js';
import type { StartOption } from './start-options.js';

/** How many ripe mothers a strain must have from one handling day until the next. */
export interface ReserveDay {
  readonly day: number;
  readonly until: number;
  readonly required: number;
}

/**
 * The days on which a strain's mother reserve is counted: every handling day and the last. Before the first container
 * the plan starts can be ripe, only what is on hand can be asked for.
 */
export function reserveDays(
  situation: AcceptedSituation,
  strain: AcceptedStrain,
  handlingDays: readonly number[],
  options: readonly StartOption[],
): ReserveDay[] {
  if (strain.motherReserve === 0) return [];
  const { horizon, containers } = situation;
  const days = handlingDays.includes(horizon) ? handlingDays : [...handlingDays, horizon];
  const firstMade = Math.min(
    Number.POSITIVE_INFINITY,
    ...options
      .filter((option) => option.strain === strain.index && option.generation < strain.lastGeneration)
      .map((option) => option.ripeDay),
  );
  const mothers = containers.filter(
    ({ strain: of, generation, kind }) =>
      of === strain.index &&
      generation >= 1 &&
      generation < strain.lastGeneration &&
      (kind === 'warm' || kind === 'cold'),
  );
  return days.flatMap((day, place) => {
    const onHand = mothers.filter((each) => each.from <= day).length;
    const required = day >= firstMade ? strain.motherReserve : Math.min(strain.motherReserve, onHand);
    return required === 0 ? [] : [{ day, until: days[place + 1] ?? day + 1, required }];
  });
}
