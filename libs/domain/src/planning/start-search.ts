import { UNBREAKABLE } from './allocation.js';
import { StrainSearch } from './local-search.js';
import { roundChoices, roundStarts } from './rounding.js';
import { SharedLoad } from './shared-load.js';
import type { SpawnModel } from './spawn-model.js';
import { strainViews } from './strain-view.js';
import { handlingDays } from './timeline.js';

/**
 * What going beyond a shared limit costs, step by step, and the share of the budget spent by the end of each step. While
 * it is cheap the strains bargain for places and bench time; in the end it is out of the question.
 */
const BARGAINING = [
  { price: 3, share: 0.15 },
  { price: 15, share: 0.3 },
  { price: 60, share: 0.45 },
];

/**
 * Rounds the relaxed starts and improves them strain by strain, until the budget is spent. Gives the whole-number columns
 * that are not 0. The same model and budget give the same columns.
 */
export function searchStarts(model: SpawnModel, relaxed: Float64Array, evaluations: number): Map<number, number> {
  const shared = new SharedLoad(model, handlingDays(model.situation));
  const chosen = roundChoices(model, relaxed);
  const searches = strainViews(model).map(
    (view) => new StrainSearch(model, view, shared, roundStarts(model, view, relaxed), chosen),
  );
  for (const { price, share } of BARGAINING) improve(searches, price, evaluations * share);
  improve(searches, UNBREAKABLE, evaluations * 0.7);
  for (const search of searches) search.retreat();
  improve(searches, UNBREAKABLE, evaluations * 0.8);
  shake(searches, evaluations);
  return wholeColumns(model, searches, shared, chosen);
}

function improve(searches: readonly StrainSearch[], price: number, evaluationLimit: number): void {
  for (const search of searches) search.setLimitPrice(price);
  for (let improved = true; improved; ) {
    improved = false;
    for (const search of searches) if (search.sweep(evaluationLimit)) improved = true;
  }
}

function shake(searches: readonly StrainSearch[], evaluationLimit: number): void {
  const random = seededRandom(1);
  for (let busy = true; busy; ) {
    busy = false;
    for (const search of searches) {
      if (search.evaluations >= evaluationLimit) continue;
      busy = true;
      search.shake(random, evaluationLimit);
    }
  }
}

function wholeColumns(
  model: SpawnModel,
  searches: readonly StrainSearch[],
  shared: SharedLoad,
  chosen: Int32Array,
): Map<number, number> {
  const whole = new Map<number, number>();
  for (const search of searches) for (const [column, count] of search.wholeColumns()) whole.set(column, count);
  for (const { column, slot } of model.cycles) whole.set(column, Math.ceil(shared.total.cycles[slot.index]! - 1e-9));
  model.runs.forEach(({ choices }, run) => {
    if (choices.length > 1) whole.set(choices[chosen[run]!]!.chosen, 1);
  });
  return whole;
}

/** The 32-bit generator mulberry32: small, and the same everywhere. */
function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
