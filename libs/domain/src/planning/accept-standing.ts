import { daysBetween } from '../calendar/calendar-day.js';
import type { AcceptedSize, AcceptedStanding, AcceptedStandingStart, AcceptedStrain } from './accepted-situation.js';
import type { Impossibility } from './plan.js';
import type { FarmSituation, StandingStart } from './situation.js';

export interface StandingAccepted {
  readonly standing: AcceptedStanding;
  readonly impossible: readonly Impossibility[];
}

/** Adds up what stands by what is started; says which held starts can never be honoured. What lies in the past is over. */
export function acceptStanding(
  situation: FarmSituation,
  strains: readonly AcceptedStrain[],
  sizes: readonly AcceptedSize[],
  nothingElse: boolean,
): StandingAccepted {
  const impossible: Impossibility[] = [];
  const starts = new Map<string, AcceptedStandingStart>();
  let until = -1;
  for (const start of situation.standing ?? []) {
    const benchDay = daysBetween(situation.asOf, start.benchDay);
    if (benchDay < 0 || benchDay > situation.horizonDays) continue;
    until = Math.max(until, benchDay);
    const strain = strains.find(({ id }) => id === start.strainId);
    const size = sizes.find(({ id }) => id === start.sizeId);
    const isMade = strain !== undefined && start.generation >= 1 && start.generation <= strain.lastGeneration;
    if (!isMade || size === undefined) {
      if (start.hold !== 'accepted') impossible.push(heldButUnknown(start));
      continue;
    }
    const key = [benchDay, strain.index, start.generation, size.index].join('|');
    const what = { strain: strain.index, generation: start.generation, size: size.index, benchDay };
    starts.set(key, addHold(starts.get(key) ?? { ...what, ...NOTHING_HELD }, start, nothingElse));
  }
  return { standing: { starts: [...starts.values()], until, nothingElse }, impossible };
}

const NOTHING_HELD = { prepared: 0, fewest: 0, most: Number.POSITIVE_INFINITY, accepted: 0 };

function addHold(
  before: AcceptedStandingStart,
  { hold, containers }: StandingStart,
  nothingElse: boolean,
): AcceptedStandingStart {
  const accepted = before.accepted + containers;
  const prepared = before.prepared + (hold === 'prepared' ? containers : 0);
  if (nothingElse) return { ...before, prepared, accepted, fewest: accepted, most: accepted };
  const isPinned = hold === 'pinned' || Number.isFinite(before.most);
  const fewest = before.fewest + (hold === 'accepted' ? 0 : containers);
  return { ...before, prepared, accepted, fewest, most: isPinned ? fewest : before.most };
}

function heldButUnknown({ benchDay, strainId, sizeId, generation }: StandingStart): Impossibility {
  return {
    code: 'held-start-not-possible',
    subject: `${benchDay} ${strainId}`,
    message: `The start of ${strainId}, generation ${generation}, in ${sizeId} on ${benchDay} is to be kept, but the farm knows no such strain, generation or size; it is left out.`,
  };
}
