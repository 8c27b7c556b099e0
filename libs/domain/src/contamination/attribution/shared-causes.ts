import type { LotTable } from './observed-lot.js';
import type { RateModel } from './rate-model.js';

/** A factor needs this many levels before the likeness of its lots can be judged. */
const FEWEST_LEVELS = 8;

/** How alike two different lots are that share a level of a factor, beyond the model: 0 is not at all. */
export interface SharedCause {
  /** Index of the factor in the table. */
  readonly factor: number;
  readonly correlation: number;
}

/**
 * Cycles, batches and mothers have good and bad days that several lots share. Their likeness is measured from products
 * of residuals within each level, so that a coarse factor is not blamed for a handful of bad cycles. Linear in lots.
 */
export function sharedCauses(table: LotTable, { residual, spread }: RateModel): readonly SharedCause[] {
  const standardised = residual.map((value, row) => value / Math.sqrt(spread[row]!));
  return table.factors.flatMap(({ rows }, factor) => {
    if (rows.length < FEWEST_LEVELS) return [];
    const correlation = likeness(rows, standardised);
    return correlation > 0 ? [{ factor, correlation }] : [];
  });
}

function likeness(levels: readonly (readonly number[])[], standardised: Float64Array): number {
  let products = 0;
  let pairs = 0;
  for (const rows of levels) {
    let [sum, squares] = [0, 0];
    for (const row of rows) {
      const value = standardised[row]!;
      sum += value;
      squares += value * value;
    }
    products += sum * sum - squares;
    pairs += rows.length * (rows.length - 1);
  }
  return pairs === 0 ? 0 : Math.max(0, products / pairs);
}

/**
 * By how much shared causes widen the variance of a level's excess: 1 when they do not.
 * @param tested index of the tested level's own factor: its own likeness is what is being tested
 * @param influence of each row on the excess
 */
export function widening(
  table: LotTable,
  causes: readonly SharedCause[],
  tested: number,
  influence: Float64Array,
): number {
  const own = influence.reduce((sum, value) => sum + value * value, 0);
  let extra = 0;
  for (const { factor, correlation } of causes) {
    if (factor === tested) continue;
    for (const rows of table.factors[factor]!.rows) {
      let [sum, squares] = [0, 0];
      for (const row of rows) {
        sum += influence[row]!;
        squares += influence[row]! * influence[row]!;
      }
      extra += correlation * (sum * sum - squares);
    }
  }
  return Math.max(1, 1 + extra / own);
}
