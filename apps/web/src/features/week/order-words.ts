import type { Week, WeekRun } from '@jarfold/contracts';
import { jarsInHand } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { formatMass } from '../../ui/format/index.js';

type Order = NonNullable<WeekRun['run']['order']>;

/** How far a run or an order is covered, 0 to 1: an order in jars, those that are gone already among them. */
export function coveredShare({ run, coverage }: WeekRun): number {
  const { order } = run;
  if (order) return (order.handedOver + (coverage.jars?.covered ?? 0)) / order.jars;
  return coverage.targetGrams > 0 ? coverage.coveredGrams / coverage.targetGrams : 1;
}

/** Planned grams as jars: of a jar that is needed in part, the whole jar. */
export function jarsToHandOver({ ripeGrams }: Pick<Order, 'ripeGrams'>, grams: number): number {
  return jarsInHand(grams, ripeGrams);
}

/** How an order stands, in whole jars; what of its spawn fills none is said too. */
export function orderCoverage({ run, coverage, strain }: WeekRun): string {
  const { jars } = coverage;
  if (!run.order || !jars) return '';
  const { covered, left, otherGrams } = jars;
  const words = t('week.order.coverage', { covered, left, strain: strain.name });
  if (coverage.kind === 'full' || otherGrams <= 1) return words;
  return `${words} ${t('orders.otherGrams', { mass: formatMass(otherGrams), size: run.order.size.name })}`;
}

/** What is missing: jars of an order, grams of a bulk run. */
export function shortageWords({ run, kind, shortGrams }: Week['shortages'][number]): string {
  if (run.order) return t('week.shortage.jars', { count: Math.round(shortGrams / run.order.ripeGrams) });
  const mass = formatMass(shortGrams);
  return kind === 'below-minimum'
    ? t('week.shortage.belowMinimum', { mass })
    : t('week.shortage.belowTarget', { mass });
}
