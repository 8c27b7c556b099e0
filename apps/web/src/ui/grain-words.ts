import type { GrainStockItem } from '@jarfold/contracts';
import { t } from '../messages/translate.js';
import { formatDay, formatMass, formatMoment } from './format/index.js';

/** What there is of a grain, in one sentence. Never less than nothing: then the count is out of date. */
export function onHandWords({ state, onHandG, grain }: GrainStockItem): string {
  const { name } = grain;
  if (state === 'known') return t('grain.onHand', { grain: name, mass: formatMass(onHandG ?? 0) });
  return state === 'out-of-date' ? t('grain.outOfDate', { grain: name }) : t('grain.notCounted', { grain: name });
}

/** How it follows from the last count; null before there is one. */
export function accountWords({ account }: GrainStockItem): string | null {
  if (account === null) return null;
  const { countedAt, countedG, boughtG, soakedG, unweighed } = account;
  const words = t('grain.account', {
    counted: formatMass(countedG),
    at: formatMoment(countedAt),
    bought: formatMass(boughtG),
    soaked: formatMass(soakedG),
  });
  return unweighed === 0 ? words : `${words} ${t('grain.unweighed', { count: unweighed })}`;
}

/** What the plan needs of it. */
export function needWords({ outlook }: GrainStockItem): string | null {
  if (outlook === null) return null;
  return t('grain.needed', { week: formatMass(outlook.thisWeekG), fourWeeks: formatMass(outlook.fourWeeksG) });
}

/** When it has to be bought, or that it reaches; null while nobody knows what there is. */
export function reachWords({ outlook, state }: GrainStockItem): string | null {
  if (outlook === null || state !== 'known') return null;
  const { runsOutOn, buyBy, missingG } = outlook;
  if (runsOutOn === null || buyBy === null) return t('grain.reaches');
  const days = { day: formatDay(runsOutOn), by: formatDay(buyBy) };
  return missingG === null || missingG === 0
    ? t('grain.runsOutLater', days)
    : t('grain.runsOut', { ...days, missing: formatMass(missingG) });
}
