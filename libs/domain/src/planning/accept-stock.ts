import { addDays, dayNumber } from '../calendar/calendar-day.js';
import type { AcceptedContainer, AcceptedSize, AcceptedStrain } from './accepted-situation.js';
import type { Impossibility, StrandedContainer } from './plan.js';
import type { FarmSituation, StockContainer } from './situation.js';

export interface AcceptedStock {
  readonly containers: readonly AcceptedContainer[];
  readonly expired: readonly StrandedContainer[];
  readonly impossible: readonly Impossibility[];
}

/** Gives every container on hand the window in which it can be used, and sets aside the unknown and the too old. */
export function acceptStock(
  situation: FarmSituation,
  strains: readonly AcceptedStrain[],
  sizes: readonly AcceptedSize[],
): AcceptedStock {
  const containers: AcceptedContainer[] = [];
  const expired: StrandedContainer[] = [];
  const impossible: Impossibility[] = [];
  for (const container of situation.stock) {
    const strain = strains.find((each) => each.id === container.strainId);
    const size = sizes.find((each) => each.id === container.sizeId);
    if (!strain || !size) {
      impossible.push(unknownThing(container, strain !== undefined));
      continue;
    }
    const accepted = acceptContainer(situation, container, strain, size);
    if (accepted.grams <= 0) continue;
    if (accepted.until >= Math.max(accepted.from, 0)) containers.push(accepted);
    else
      expired.push({ code: container.code, grams: accepted.grams, expires: addDays(situation.asOf, accepted.until) });
  }
  return { containers, expired, impossible };
}

function unknownThing(container: StockContainer, strainIsKnown: boolean): Impossibility {
  const [code, name] = strainIsKnown
    ? (['unknown-size', `size ${container.sizeId}`] as const)
    : (['unknown-strain', `strain ${container.strainId}`] as const);
  return {
    code,
    subject: container.code,
    message: `Container ${container.code} is of ${name}, which is not known; it is left out.`,
  };
}

function acceptContainer(
  situation: FarmSituation,
  container: StockContainer,
  strain: AcceptedStrain,
  size: AcceptedSize,
): AcceptedContainer {
  const incubating = container.state === 'incubating';
  const full = incubating && container.gramsLeft === 0 ? size.ripeGrams : container.gramsLeft;
  const survival = container.survival ?? (incubating ? strain.survival : 1);
  return {
    code: container.code,
    strain: strain.index,
    generation: container.generation,
    size: size.index,
    grams: full * survival,
    keptAsMother: container.keptAsMother,
    incubating,
    ...usableWindow(situation, container, strain),
  };
}

function usableWindow(
  situation: FarmSituation,
  container: StockContainer,
  strain: AcceptedStrain,
): Pick<AcceptedContainer, 'kind' | 'from' | 'until'> {
  const today = dayNumber(situation.asOf);
  const offset = (day: StockContainer['ripeOn'], otherwise: number) =>
    day === null ? otherwise : dayNumber(day) - today;
  const made = dayNumber(container.madeOn) - today;
  const expectedRipe = offset(container.ripeOn, made + (container.generation === 0 ? 0 : strain.daysToRipe));
  const openedUntil = offset(container.openedOn, 0) + situation.rhythm.openedLifeDays;
  if (container.generation === 0) {
    const from = container.state === 'incubating' ? Math.max(expectedRipe, 0) : 0;
    const until = container.state === 'opened' ? openedUntil : made + strain.cultureLifeDays;
    return { kind: 'culture', from, until };
  }
  switch (container.state) {
    case 'incubating': {
      const ripe = Math.max(expectedRipe, 0);
      return { kind: 'warm', from: ripe, until: ripe + strain.warmLifeDays };
    }
    case 'ripe':
      return { kind: 'warm', from: 0, until: Math.min(expectedRipe, 0) + strain.warmLifeDays };
    case 'chilled':
      return {
        kind: 'cold',
        from: 0,
        until: offset(container.chilledOn, Math.min(expectedRipe, 0)) + strain.coldLifeDays,
      };
    case 'opened':
      return { kind: 'opened', from: 0, until: openedUntil };
  }
}
