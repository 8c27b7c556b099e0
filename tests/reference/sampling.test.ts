import { acceptableLimits, binomialCdf, chanceTaken, checksToFind, smallestPlan, standardPlan } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

describe('looks at a lot (hypergeometric; Cannon and Roe’s tables, first read, others computed)', () => {
  it.each([
    [1600, 16, 0.99, 399],
    [100, 5, 0.95, 45],
    [200, 10, 0.95, 51],
    [1000, 10, 0.95, 258],
    [50, 1, 0.95, 48],
    [24, 2, 0.95, 19],
    [48, 3, 0.95, 30],
  ])('%i jars, %i bad, %d: %i looks', (jars, bad, confidence, looks) => {
    expect(checksToFind(jars, bad, confidence)).toBe(looks);
  });

  it.each([
    [0.05, 59],
    [0.01, 299],
  ])('a share of %d bad in a stream without end: %i looks for 95 of 100', (share, looks) => {
    // A hundred million jars stand for a lot without end; there the chance is the geometric one.
    expect(checksToFind(100_000_000, 100_000_000 * share, 0.95)).toBe(looks);
    expect(1 - (1 - share) ** looks).toBeGreaterThanOrEqual(0.95);
    expect(1 - (1 - share) ** (looks - 1)).toBeLessThan(0.95);
  });

  it('refuses more bad jars than there are', () => {
    expect(() => checksToFind(5, 6, 0.9)).toThrow('6 of 5');
  });
});

describe('single sampling by attributes, general level II (ISO 2859-1 = MIL-STD-105E; table read)', () => {
  it.each([
    [2000, 0.65, 'K', 125, 2],
    [96, 2.5, 'F', 20, 1],
    [40, 10, 'D', 8, 2],
    [600, 15, 'J', 80, 21],
    [10_000, 1, 'L', 200, 5],
  ] as const)(
    'a lot of %i at %d %%: %s, %i looks, taken with %i bad (first = NIST 6.2.3.1, from memory)',
    (lot, limit, code, looks, accept) => {
      expect(standardPlan(lot, limit)).toEqual({ code, looks, accept });
    },
  );

  it('follows the arrows of the table: down to a longer sample, up to a shorter one', () => {
    expect(standardPlan(30, 0.65)).toEqual({ code: 'F', looks: 20, accept: 0 });
    expect(standardPlan(60, 2.5)).toEqual({ code: 'F', looks: 20, accept: 1 });
    expect(standardPlan(60, 1.5)).toEqual({ code: 'D', looks: 8, accept: 0 });
    // The standard's row C, from memory; it lies on the diagonal of plans that allow none.
    expect(standardPlan(40, 2.5)).toEqual({ code: 'C', looks: 5, accept: 0 });
    expect(standardPlan(200, 0.65)).toEqual({ code: 'F', looks: 20, accept: 0 });
    expect(standardPlan(9000, 15)).toEqual({ code: 'J', looks: 80, accept: 21 });
  });

  it('never looks at more jars than there are, and takes a lot at its limit with nine chances in ten nearly always', () => {
    fc.assert(
      fc.property(fc.integer({ min: 26, max: 10_000 }), fc.constantFrom(...acceptableLimits), (lot, limit) => {
        const plan = standardPlan(lot, limit);
        expect(plan.looks).toBeLessThanOrEqual(lot);
        expect(plan.accept).toBeLessThan(plan.looks);
        expect(chanceTaken(plan, limit / 100)).toBeGreaterThan(0.85);
        expect(chanceTaken(plan, 0.6)).toBeLessThan(0.2);
      }),
    );
  });

  it('sends a smaller lot to be looked at jar by jar, and knows the standard’s limits only', () => {
    expect(() => standardPlan(25, 1)).toThrow('look at every jar');
    expect(() => standardPlan(100.5, 1)).toThrow('not 100.5');
    expect(() => standardPlan(100, 3 as 4)).toThrow('The limits of the standard');
  });
});

describe('operating curves (binomial, computed)', () => {
  const shares = [0.005, 0.01, 0.025, 0.05, 0.1];
  it.each([
    [125, 2, [0.9747, 0.8693, 0.3927, 0.0477, 0.0002]],
    [80, 2, [0.9923, 0.9534, 0.6767, 0.2306, 0.0107]],
    [50, 1, [0.9739, 0.9106, 0.6435, 0.2794, 0.0338]],
    [20, 0, [0.9046, 0.8179, 0.6027, 0.3585, 0.1216]],
    [13, 0, [0.9369, 0.8775, 0.7195, 0.5133, 0.2542]],
  ])('%i looks, %i bad allowed', (looks, accept, chances) => {
    chances.forEach((chance, i) => {
      expect(chanceTaken({ looks, accept }, shares[i]!)).toBeCloseTo(chance, 4);
    });
  });

  it('the shortest plan for two risks: 80 and 7 as in the manual of R’s AcceptanceSampling (read); 65, 2 and 98, 4 (computed)', () => {
    expect(smallestPlan({ badShare: 0.05, chance: 0.95 }, { badShare: 0.15, chance: 0.075 })).toEqual({
      looks: 80,
      accept: 7,
    });
    expect(binomialCdf(7, 80, 0.05)).toBeCloseTo(0.9534084725, 8);
    expect(binomialCdf(7, 80, 0.15)).toBeCloseTo(0.0727174929, 8);
    expect(smallestPlan({ badShare: 0.01, chance: 0.95 }, { badShare: 0.08, chance: 0.1 })).toEqual({
      looks: 65,
      accept: 2,
    });
    expect(smallestPlan({ badShare: 0.02, chance: 0.95 }, { badShare: 0.08, chance: 0.1 })).toEqual({
      looks: 98,
      accept: 4,
    });
  });

  it('refuses risks the wrong way round, and lots too alike to tell apart', () => {
    expect(() => smallestPlan({ badShare: 0.2, chance: 0.95 }, { badShare: 0.1, chance: 0.1 })).toThrow(
      'fewer bad jars',
    );
    expect(() => smallestPlan({ badShare: 0.1, chance: 0.99 }, { badShare: 0.1001, chance: 0.01 })).toThrow('alike');
  });
});
