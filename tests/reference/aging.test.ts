import {
  chilledShareGood,
  chilledSurvival,
  daysLeft,
  findSpecies,
  firstExpiredFirstOut,
  keepingTime,
  meanKineticTemperatureC,
  type Restart,
  seededRandom,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

describe('how long spawn keeps', () => {
  it('oyster and button spawn: 60 days at 4 °C (Kalhout, read), less where it is warmer, never more', () => {
    const { profile } = findSpecies('oyster');
    expect(keepingTime(profile, 3)).toMatchObject({
      kind: 'keeps',
      days: 60,
      from: { source: 'Kalhout', confidence: 'read' },
    });
    expect(keepingTime(profile, -1)).toMatchObject({ days: 60 });
    const warmer = keepingTime(profile, 13);
    expect(warmer.kind === 'keeps' && warmer.days).toBeCloseTo(30, 9);
  });

  it('does not chill what the cold harms, and says below which temperature', () => {
    expect(keepingTime(findSpecies('paddy straw mushroom').profile, 4)).toMatchObject({
      kind: 'do not chill',
      notBelowC: 15,
      days: null,
    });
    const warm = keepingTime(findSpecies('almond mushroom').profile, 12);
    expect(warm).toMatchObject({ kind: 'do not chill', notBelowC: 10 });
    expect(warm.kind === 'do not chill' && warm.days).toBeGreaterThan(10);
    expect(() => keepingTime(findSpecies('oyster').profile, 60)).toThrow('not at 60');
  });

  it('mean kinetic temperature of 20, 22, 25, 30 °C is 25.031677 (computed)', () => {
    expect(meanKineticTemperatureC([20, 22, 25, 30])).toBeCloseTo(25.031677, 3);
    expect(meanKineticTemperatureC([4, 4, 4])).toBeCloseTo(4, 9);
    expect(() => meanKineticTemperatureC([])).toThrow('needs readings');
  });
});

describe('survival of chilled jars from the farm’s own restarts', () => {
  const restart = (daysChilled: number, regrew: boolean): Restart => ({ daysChilled, regrew });

  it('is the published life and its doubt while nothing was tried', () => {
    const { lifeDays, curve } = chilledSurvival([], 60);
    expect(lifeDays.value).toBeCloseTo(60, 6);
    expect(lifeDays.low).toBeLessThan(35);
    expect(lifeDays.high).toBeGreaterThan(100);
    expect(lifeDays.n).toBe(0);
    expect(curve).toMatchObject({ kind: 'not enough data' });
  });

  it('moves up with jars that regrow late and down with jars that die early', () => {
    const good = chilledSurvival(new Array(20).fill(restart(90, true)), 60).lifeDays.value;
    const bad = chilledSurvival(
      [...new Array(10).fill(restart(30, false)), ...new Array(10).fill(restart(30, true))],
      60,
    ).lifeDays.value;
    expect(good).toBeGreaterThan(75);
    expect(bad).toBeLessThan(35);
  });

  it('holds the true life in most simulated farms, each jar tried once', () => {
    const random = seededRandom(41);
    let held = 0;
    for (let farm = 0; farm < 100; farm++) {
      const life = 60 * Math.exp(0.3 * random.normal());
      const scale = life / (-Math.log(0.9)) ** (1 / 3);
      const restarts = Array.from({ length: 50 }, () => {
        const days = 10 + random.whole(130);
        return restart(days, scale * (-Math.log(1 - random.uniform())) ** (1 / 3) > days);
      });
      const { lifeDays } = chilledSurvival(restarts, 60);
      if (lifeDays.low <= life && life <= lifeDays.high) held++;
    }
    expect(held).toBeGreaterThanOrEqual(90);
  });

  it('counts days left down to zero, with the interval of the life', () => {
    const survival = chilledSurvival([], 60);
    expect(daysLeft(survival, 20)).toMatchObject({ days: 40, n: 0 });
    expect(daysLeft(survival, 200)).toMatchObject({ days: 0, low: 0 });
    const { low, high } = daysLeft(survival, 20);
    expect(low).toBeLessThan(40);
    expect(high).toBeGreaterThan(40);
    expect(chilledShareGood(survival, 0)).toBe(1);
    expect(chilledShareGood(survival, 60)).toBeCloseTo(0.9, 6);
    expect(() => chilledSurvival([restart(-1, true)], 60)).toThrow('0 days or more');
    expect(() => chilledSurvival([], 0)).toThrow('above 0 days');
  });
});

describe('first expired, first out', () => {
  it('serves 13 of 15 days where first-in-first-out serves 8 (worked instance, computed)', () => {
    const stock = [
      { code: 'A', fromDay: 1, lastDay: 10, grams: 5 },
      { code: 'B', fromDay: 0, lastDay: 20, grams: 5 },
      { code: 'C', fromDay: 2, lastDay: 6, grams: 5 },
    ];
    const demands = Array.from({ length: 15 }, (_, i) => ({ id: `d${i + 3}`, day: i + 3, grams: 1 }));
    const { uses, unmet, stranded } = firstExpiredFirstOut(stock, demands);
    expect(uses.length).toBe(13);
    expect(unmet.length).toBe(2);
    expect(stranded.reduce((sum, { grams }) => sum + grams, 0)).toBe(2);
  });

  it('serves as much as a maximum matching, on random instances of single grams', () => {
    const instance = fc.tuple(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 10 }), fc.integer({ min: 0, max: 8 })), { maxLength: 9 }),
      fc.array(fc.integer({ min: 0, max: 16 }), { maxLength: 9 }),
    );
    fc.assert(
      fc.property(instance, ([jars, days]) => {
        const stock = jars.map(([fromDay, life], i) => ({ code: `${i}`, fromDay, lastDay: fromDay + life, grams: 1 }));
        const demands = days.map((day, i) => ({ id: `${i}`, day, grams: 1 }));
        const { uses, unmet, stranded } = firstExpiredFirstOut(stock, demands);
        expect(uses.length).toBe(largestMatching(stock, demands));
        expect(uses.length + unmet.length).toBe(demands.length);
        expect(uses.length + stranded.length).toBe(stock.length);
      }),
      { numRuns: 300 },
    );
  });

  it('conserves grams and never uses a jar before it is ripe or after it expired', () => {
    const anyStock = fc.array(
      fc.record({
        fromDay: fc.integer({ min: 0, max: 10 }),
        life: fc.integer({ min: 0, max: 10 }),
        grams: fc.integer({ min: 0, max: 500 }),
      }),
      { maxLength: 10 },
    );
    const anyDemand = fc.array(
      fc.record({ day: fc.integer({ min: 0, max: 20 }), grams: fc.integer({ min: 0, max: 800 }) }),
      { maxLength: 8 },
    );
    fc.assert(
      fc.property(anyStock, anyDemand, (jars, runs) => {
        const stock = jars.map(({ fromDay, life, grams }, i) => ({
          code: `${i}`,
          fromDay,
          lastDay: fromDay + life,
          grams,
        }));
        const demands = runs.map(({ day, grams }, i) => ({ id: `${i}`, day, grams }));
        const { uses, unmet, stranded } = firstExpiredFirstOut(stock, demands);
        const sum = (rows: readonly { grams: number }[]) => rows.reduce((total, { grams }) => total + grams, 0);
        expect(sum(uses) + sum(stranded)).toBeCloseTo(sum(stock), 6);
        expect(sum(uses) + sum(unmet)).toBeCloseTo(sum(demands), 6);
        for (const { code, day } of uses) {
          const jar = stock[Number(code)]!;
          expect(jar.fromDay <= day && day <= jar.lastDay).toBe(true);
        }
      }),
    );
    expect(() => firstExpiredFirstOut([{ code: 'x', fromDay: 5, lastDay: 4, grams: 1 }], [])).toThrow(
      'before it can be used',
    );
  });
});

/** Augmenting paths (Kuhn), as an independent count of the most demands that can be served. */
function largestMatching(
  stock: readonly { fromDay: number; lastDay: number }[],
  demands: readonly { day: number }[],
): number {
  const servedBy = new Map<number, number>();
  const serve = (demand: number, tried: Set<number>): boolean =>
    stock.some(({ fromDay, lastDay }, jar) => {
      const { day } = demands[demand]!;
      if (tried.has(jar) || day < fromDay || day > lastDay) return false;
      tried.add(jar);
      const other = servedBy.get(jar);
      if (other !== undefined && !serve(other, tried)) return false;
      servedBy.set(jar, demand);
      return true;
    });
  return demands.filter((_, demand) => serve(demand, new Set())).length;
}
