import type { CalendarDay } from '../calendar/calendar-day.js';
import { type Attribution, attribute } from '../contamination/attribution/attribute.js';
import type { Factors, ObservedBlank, ObservedLot } from '../contamination/attribution/observed-lot.js';
import type { NotEnoughData } from '../statistics/estimate.js';
import { levelOf, RATE_FACTORS, type RateFactor } from './contamination-by-factor.js';
import type { LotCell } from './lot-cell.js';

/** Only what touched a blank: it was never inoculated. */
const BLANK_FACTORS: readonly RateFactor[] = ['grainBatch', 'cycle', 'room', 'method'];

/**
 * Which factors explain an excess of contamination among lots that count; see {@link attribute}.
 * @param mayName false for a level that must not be named, such as a person to somebody else: it stays unknown
 */
export function contaminationCauses(
  cells: readonly LotCell[],
  mayName: (factor: RateFactor, level: string) => boolean = () => true,
): Attribution | NotEnoughData {
  const { observed, blanks } = observedLots(cells, mayName);
  return attribute(observed, blanks);
}

/** The factor whose one level every lot made since a day has: what they all share and earlier lots do not. */
export const SHARED_SINCE = 'since';

/**
 * Which factors explain what changed on a day: lots made before it tell what is usual and no more, so that a strain that
 * was fine for most of the year is judged by its lots since. That all lots since share something stands against every
 * single factor, as a factor of its own, and is named beside a factor that explains the change hardly better.
 * @param mayName false for a level that must not be named
 */
export function causesSince(
  cells: readonly LotCell[],
  since: CalendarDay,
  mayName: (factor: RateFactor, level: string) => boolean = () => true,
): Attribution | NotEnoughData {
  const { observed, blanks } = observedLots(cells, mayName);
  const made = new Map(cells.map(({ lotId, madeOn }) => [lotId, madeOn]));
  const differ = RATE_FACTORS.filter(
    (factor) => new Set(observed.flatMap((lot) => lot.factors[factor] ?? [])).size > 1,
  );
  const judged = <T extends { readonly id: string; readonly factors: Factors }>(lot: T): T => ({
    ...lot,
    factors: made.get(lot.id)! >= since ? { ...picked(lot.factors, differ), [SHARED_SINCE]: since } : {},
  });
  return attribute(observed.map(judged), blanks.map(judged), { widerFactors: [SHARED_SINCE] });
}

const picked = (factors: Factors, kept: readonly RateFactor[]): Factors =>
  Object.fromEntries(kept.flatMap((factor) => (factor in factors ? [[factor, factors[factor]!]] : [])));

/** Cells put together to whole lots, and blanks. */
function observedLots(cells: readonly LotCell[], mayName: (factor: RateFactor, level: string) => boolean) {
  const lots = new Map<string, LotCell[]>();
  for (const cell of cells) {
    const known = lots.get(cell.lotId);
    if (known === undefined) lots.set(cell.lotId, [cell]);
    else known.push(cell);
  }
  const observed: ObservedLot[] = [];
  const blanks: (ObservedBlank & { readonly id: string })[] = [];
  for (const [id, own] of lots) {
    const counts = { contaminated: sum(own, 'contaminated'), jars: sum(own, 'jars') };
    if (own[0]!.blank) blanks.push({ id, ...counts, factors: factorsOf(own, BLANK_FACTORS, mayName) });
    else observed.push({ id, ...counts, factors: factorsOf(own, RATE_FACTORS, mayName) });
  }
  return { observed, blanks };
}

const sum = (cells: readonly LotCell[], key: 'contaminated' | 'jars'): number =>
  cells.reduce((total, cell) => total + cell[key], 0);

/** A lot whose jars differ in a factor, such as several mothers, has no one level of it. */
function factorsOf(
  cells: readonly LotCell[],
  factors: readonly RateFactor[],
  mayName: (factor: RateFactor, level: string) => boolean,
): Factors {
  return Object.fromEntries(
    factors.map((factor) => {
      const levels = new Set(cells.map(levelOf[factor]));
      const level = levels.size === 1 ? [...levels][0]! : null;
      return [factor, level !== null && mayName(factor, level) ? level : null];
    }),
  );
}
