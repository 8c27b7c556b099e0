import { describe, expect, it } from '@jest/globals';
import { kitchen } from '../../../../tests/reference/planning-kitchen.js';
import { addDays } from '../calendar/calendar-day.js';
import { acceptSituation } from './accept-situation.js';
import { FarmSearch } from './farm-search.js';
import { improveAnew, improveInRounds } from './search-rounds.js';

/** A kitchen with so many runs, one a week. */
function farmWith(runs: number): FarmSearch {
  const one = kitchen();
  return new FarmSearch(
    acceptSituation({
      ...one,
      horizonDays: 84,
      runs: Array.from({ length: runs }, (_, place) => ({
        ...one.runs[0]!,
        id: `run-${place}`,
        day: addDays(one.asOf, 20 + place * 7),
      })),
    }),
  );
}

const spentBy = (farm: FarmSearch) => farm.searches.reduce((sum, search) => sum + search.evaluations, 0);

describe('search in rounds', () => {
  it('stops long before the most it may spend when nothing is gained any more', () => {
    const [usual, most] = [1_000, 100_000].map((limit) => {
      const farm = farmWith(2);
      farm.beginFromStanding();
      improveInRounds(farm, { usual: 1_000, most: limit }, 0);
      return spentBy(farm);
    });
    expect(most).toBeGreaterThan(usual!);
    expect(most).toBeLessThan(10 * usual!);
  });

  it('is never dearer for going on: it keeps the best there was after any round', () => {
    const costs = Array.from({ length: 14 }, (_, place) => place + 1).map((rounds) => {
      const farm = farmWith(8);
      farm.beginFromStanding();
      improveInRounds(farm, { usual: 400, most: (1 + rounds / 4) * 400 }, 0);
      return farm.cost();
    });
    expect(costs).toEqual([...costs].sort((one, other) => other - one));
    expect(costs.at(-1)).toBeLessThan(costs[0]!);
  });

  it('keeps what there was when a second search ends dearer', () => {
    const farm = farmWith(8);
    farm.beginFromStanding();
    improveInRounds(farm, { usual: 4_000, most: 4_000 }, 0);
    const before = farm.cost();
    let begunAt = before;
    const begin = () => {
      farm.beginFromStanding();
      begunAt = farm.cost();
    };
    improveAnew(farm, begin, { usual: 10, most: 10 }, 1);
    expect(begunAt).toBeGreaterThan(before);
    expect(farm.cost()).toBeCloseTo(before, 9);
  });
});
