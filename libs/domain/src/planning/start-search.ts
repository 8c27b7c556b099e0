import { UNBREAKABLE } from './allocation.js';
import { StrainSearch } from './local-search.js';
import { roundChoices, roundStarts } from './rounding.js';
import { SharedLoad } from './shared-load.js';
import type { RelaxedSolution } from './solver-port.js';
import type { SpawnModel } from './spawn-model.js';
import { strainViews } from './strain-view.js';
import { handlingDays } from './timeline.js';

/** What going beyond a shared limit costs while the strains bargain; in the end it is out of the question. */
const BARGAINING_PRICE = 40;
/** Temperatures, in containers' worth, at which the annealing begins and ends. */
const WARM = 4;
const COOL = 0.03;
/** Draws for one strain before the next has its turn. */
const DRAWS_PER_TURN = 40;
/** Share of the budget for trying every single move at the end. */
const SWEEPING_SHARE = 0.25;

/**
 * Rounds the relaxed starts and improves them strain by strain, until the budget is spent. Gives the whole-number columns
 * that are not 0. The same model and budget give the same columns.
 */
export function searchStarts(model: SpawnModel, solution: RelaxedSolution, evaluations: number): Map<number, number> {
  const relaxed = solution.values;
  const shared = new SharedLoad(model, handlingDays(model.situation), solution.rowPrices);
  const chosen = roundChoices(model, relaxed);
  const searches = strainViews(model).map(
    (view) => new StrainSearch(model, view, shared, roundStarts(model, view, relaxed), chosen),
  );
  const busy = searches.filter((search) => search.view.starts.length > 0);
  const share = evaluations / Math.max(1, busy.length);
  anneal(model, busy, share * (1 - SWEEPING_SHARE));
  improve(busy, UNBREAKABLE, share);
  for (const search of searches) search.retreat();
  return wholeColumns(model, searches, shared, chosen);
}

/** Cools down over the budget; for the last third limits are unbreakable. */
function anneal(model: SpawnModel, searches: readonly StrainSearch[], evaluations: number): void {
  const random = seededRandom(1);
  const worth = model.situation.costs.perContainerStarted + 0.2 * model.situation.costs.perCycle + 0.01;
  const turns = Math.ceil(evaluations / DRAWS_PER_TURN);
  for (let turn = 0; turn < turns; turn += 1) {
    const share = turn / turns;
    const temperature = worth * WARM * (COOL / WARM) ** share;
    for (const search of searches) {
      const bargains = share < 2 / 3;
      search.setLimitPrice(bargains ? BARGAINING_PRICE : UNBREAKABLE, bargains ? 1 - share : 0);
      search.anneal(DRAWS_PER_TURN, temperature, random);
    }
  }
}

/** Tries every single move until none helps. */
function improve(searches: readonly StrainSearch[], price: number, evaluationLimit: number): void {
  for (const search of searches) search.setLimitPrice(price, 0);
  for (let improved = true; improved; ) {
    improved = false;
    for (const search of searches) if (search.sweep(evaluationLimit)) improved = true;
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
