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

  it('ends with the cheapest there was after any cooling or round', () => {
    for (const most of [400, 1_600, 3_200]) {
      const farm = farmWith(8);
      farm.beginFromStanding();
      const costs: number[] = [];
      const improve = farm.improve.bind(farm);
      farm.improve = (...how) => {
        improve(...how);
        costs.push(farm.cost());
      };
      improveInRounds(farm, { usual: 400, most }, 0);
      expect(costs.length).toBeGreaterThan(2);
      expect(farm.cost()).toBeCloseTo(Math.min(...costs), 9);
    }
  });

  it('cools an easy farm down twice, and one whose coolings differ more often, within what it may spend', () => {
    const coolings = [
      { runs: 1, usual: 4_000 },
      { runs: 8, usual: 60 },
    ].map(({ runs, usual }) => {
      const farm = farmWith(runs);
      farm.beginFromStanding();
      let whole = 0;
      const improve = farm.improve.bind(farm);
      farm.improve = (evaluations, warmth, seed) => {
        improve(evaluations, warmth, seed);
        if (evaluations === usual / 2) whole += 1;
      };
      improveInRounds(farm, { usual, most: 8 * usual }, 0);
      return whole;
    });
    expect(coolings[0]).toBe(2);
    expect(coolings[1]).toBeGreaterThan(2);
    expect(coolings[1]).toBeLessThanOrEqual(5);
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
