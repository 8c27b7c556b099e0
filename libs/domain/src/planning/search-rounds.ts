import type { FarmDecisions, FarmSearch } from './farm-search.js';
import type { SearchBudget } from './search-effort.js';

/** Share of the usual budget for cooling down the first time, and for each round after it. */
const FIRST_SHARE = 0.5;
const ROUND_SHARE = 0.25;
/** Where there is more than the usual budget: how often at most it is cooled down from the beginning. */
const MOST_COOLINGS = 5;
/** Draws of the next cooling: rounds, counted from one, never come so far. */
const SEEDS_APART = 100;
/** How warm rounds begin, in turns: two look close by, the third far away. */
const WARMTHS = [0.6, 0.2, 2];
/** Rounds are looked back over to see whether they gain, and the least share of the cost they have to gain together. */
const LOOK_BACK = 6;
const WORTHWHILE = 0.001;

interface Best {
  readonly cost: number;
  readonly decisions: FarmDecisions;
}

/**
 * Improves a farm that has just begun: cools it down, several times where it may go on, then warms the best there is a
 * little and cools it again, round after round. Beyond the usual budget rounds go on only while they gain. Counted in
 * hand-outs and drawn from a seed: the same farm and budget give the same plan on every machine.
 */
export function improveInRounds(farm: FarmSearch, { usual, most }: SearchBudget, seed: number): void {
  const coolings = coolDown(farm, usual, coolingsIn(most, usual), seed);
  let best = bestOf(farm);
  const costs = [best.cost];
  const fewestRounds = Math.max(LOOK_BACK, roundsIn(usual, usual));
  const mostRounds = roundsIn(most - (coolings - 1) * FIRST_SHARE * usual, usual);
  for (let round = 0; round < mostRounds; round += 1) {
    const before = costs[Math.max(0, round - LOOK_BACK)]!;
    if (round >= fewestRounds && before - best.cost < WORTHWHILE * before) break;
    farm.improve(ROUND_SHARE * usual, WARMTHS[round % WARMTHS.length]!, seed + round + 1);
    best = keepCheaper(farm, best);
    costs.push(best.cost);
  }
}

/**
 * Cools a farm down from where it stands, again and again with other draws, until one ends as cheap as the best before it;
 * keeps the cheapest. Where the first two agree the farm is an easy one.
 * @returns how often it was cooled down
 */
function coolDown(farm: FarmSearch, usual: number, most: number, seed: number): number {
  const begun = farm.decisions();
  farm.improve(FIRST_SHARE * usual, 1, seed);
  let best = bestOf(farm);
  for (let cooling = 1; cooling < most; cooling += 1) {
    farm.decide(begun);
    farm.improve(FIRST_SHARE * usual, 1, seed + SEEDS_APART * cooling);
    const apart = Math.abs(farm.cost() - best.cost);
    best = keepCheaper(farm, best);
    if (apart <= WORTHWHILE * best.cost) return cooling + 1;
  }
  return most;
}

/** Begins a farm, improves it, and keeps the cheaper of what comes of it and what there was. */
export function improveAnew(farm: FarmSearch, begin: () => void, budget: SearchBudget, seed: number): void {
  const best = bestOf(farm);
  begin();
  improveInRounds(farm, budget, seed);
  keepCheaper(farm, best);
}

function roundsIn(evaluations: number, usual: number): number {
  return usual > 0 ? Math.floor((evaluations / usual - FIRST_SHARE) / ROUND_SHARE + 1e-9) : 0;
}

/** Those after the first may take half of what is beyond the usual budget. */
function coolingsIn(most: number, usual: number): number {
  return usual > 0 ? Math.min(MOST_COOLINGS, 1 + Math.floor((most / usual - 1) / (2 * FIRST_SHARE))) : 1;
}

function bestOf(farm: FarmSearch): Best {
  return { cost: farm.cost(), decisions: farm.decisions() };
}

function keepCheaper(farm: FarmSearch, best: Best): Best {
  const now = bestOf(farm);
  if (now.cost < best.cost) return now;
  farm.decide(best.decisions);
  return best;
}
