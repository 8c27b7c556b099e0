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
  const lots = new Map<string, LotCell[]>();
  for (const cell of cells) {
    const known = lots.get(cell.lotId);
    if (known === undefined) lots.set(cell.lotId, [cell]);
    else known.push(cell);
  }
  const observed: ObservedLot[] = [];
  const blanks: ObservedBlank[] = [];
  for (const [id, own] of lots) {
    const counts = { contaminated: sum(own, 'contaminated'), jars: sum(own, 'jars') };
    if (own[0]!.blank) blanks.push({ ...counts, factors: factorsOf(own, BLANK_FACTORS, mayName) });
    else observed.push({ id, ...counts, factors: factorsOf(own, RATE_FACTORS, mayName) });
  }
  return attribute(observed, blanks);
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
