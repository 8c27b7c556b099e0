import type { FarmDecisions, FarmSearch } from './farm-search.js';
import type { SearchBudget } from './search-effort.js';

/** Share of the usual budget for cooling down the first time, and for each round after it. */
const FIRST_SHARE = 0.5;
const ROUND_SHARE = 0.25;
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
 * Improves a farm that has just begun: cools it down once, then warms the best there is a little and cools it again, round
 * after round. Beyond the usual budget rounds go on only while they gain. Counted in hand-outs and drawn from a seed: the
 * same farm and budget give the same plan on every machine.
 */
export function improveInRounds(farm: FarmSearch, { usual, most }: SearchBudget, seed: number): void {
  farm.improve(FIRST_SHARE * usual, 1, seed);
  let best = bestOf(farm);
  const costs = [best.cost];
  const fewestRounds = Math.max(LOOK_BACK, roundsIn(usual, usual));
  const mostRounds = roundsIn(most, usual);
  for (let round = 0; round < mostRounds; round += 1) {
    const before = costs[Math.max(0, round - LOOK_BACK)]!;
    if (round >= fewestRounds && before - best.cost < WORTHWHILE * before) break;
    farm.improve(ROUND_SHARE * usual, WARMTHS[round % WARMTHS.length]!, seed + round + 1);
    best = keepCheaper(farm, best);
    costs.push(best.cost);
  }
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

function bestOf(farm: FarmSearch): Best {
  return { cost: farm.cost(), decisions: farm.decisions() };
}

function keepCheaper(farm: FarmSearch, best: Best): Best {
  const now = bestOf(farm);
  if (now.cost < best.cost) return now;
  farm.decide(best.decisions);
  return best;
}
