import { cusum, ewma, runRules, runSignals, seededRandom } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

const rulesAt = (values: readonly number[]) => runSignals(values).map(({ at, rule, side }) => [at, rule, side]);

describe('Western Electric run rules (handbook of 1956), each by hand', () => {
  it('one beyond three sigmas, on the side where it lies', () => {
    expect(rulesAt([0.5, -3.1, 0.2])).toEqual([[1, 'one beyond three sigmas', 'below']]);
    expect(rulesAt([0.5, 3, -0.2])).toEqual([]);
  });

  it('two of three beyond two sigmas on one side, not on both', () => {
    expect(rulesAt([2.1, 0, 2.4])).toEqual([[2, 'two of three beyond two sigmas', 'above']]);
    expect(rulesAt([2.1, 0, -2.4])).toEqual([]);
    expect(rulesAt([2.1, 0, 0, 2.4])).toEqual([]);
  });

  it('four of five beyond one sigma', () => {
    expect(rulesAt([-1.2, -1.4, 0.3, -1.1, -1.6])).toEqual([[4, 'four of five beyond one sigma', 'below']]);
    expect(rulesAt([-1.2, -1.4, 0.3, -1.1, -0.6])).toEqual([]);
  });

  it('eight in a row on one side, called at the eighth and not once one crosses', () => {
    const seven = [0.2, 0.5, 0.1, 0.9, 0.4, 0.3, 0.6];
    expect(rulesAt([...seven, 0.2])).toEqual([[7, 'eight in a row on one side', 'above']]);
    expect(rulesAt([...seven, -0.2, 0.2])).toEqual([]);
  });

  it('refuses what is no number', () => {
    expect(() => runSignals([0, Number.NaN])).toThrow('not NaN');
    expect(runSignals([])).toEqual([]);
  });
});

type FirstSignal = (values: readonly number[]) => number;

/** Mean number of values until a signal, over seeded runs; each run is drawn as far as it is needed. */
function meanRun(seed: number, runs: number, usual: number, firstSignal: FirstSignal, shift = 0) {
  const random = seededRandom(seed);
  let sum = 0;
  for (let i = 0; i < runs; i++) {
    const values: number[] = [];
    let found = -1;
    for (let length = usual; found < 0; length *= 2) {
      while (values.length < length) values.push(random.normal() + shift);
      found = firstSignal(values);
    }
    sum += found + 1;
  }
  return sum / runs;
}

/** How far a mean run may lie from the published one: three standard errors, a run being about exponential. */
const near = (published: number, runs: number) => (3 * published) / Math.sqrt(runs);

describe('how long charts run (seeded simulation)', () => {
  const first =
    (rules: typeof runRules): FirstSignal =>
    (values) =>
      runSignals(values, rules)[0]?.at ?? -1;

  it('all four rules cry wolf every 91.75 values (Champ and Woodall 1987, from memory)', () => {
    expect(Math.abs(meanRun(20_261_125, 1500, 60, first(runRules)) - 91.75)).toBeLessThan(near(91.75, 1500));
  });

  it('one beyond three sigmas every 370.4 = 1/(2Φ(−3)); with eight in a row every 152.7 (from memory)', () => {
    expect(Math.abs(meanRun(7, 500, 200, first(runRules.slice(0, 1))) - 370.398)).toBeLessThan(near(370.398, 500));
    const both = runRules.filter((_, i) => i === 0 || i === 3);
    expect(Math.abs(meanRun(11, 800, 100, first(both)) - 152.7)).toBeLessThan(near(152.7, 800));
  });

  it('a cumulative sum with slack 0.5: 465.4 with decision 5 and 10.38 when shifted by one sigma; 8.383 with 4 (computed with R’s spc)', () => {
    const above =
      (decision: number): FirstSignal =>
      (values) =>
        cusum(values, { target: 0, slack: 0.5, decision }).findIndex(({ signal }) => signal !== null);
    expect(Math.abs(meanRun(3, 500, 300, above(5)) - 465.444)).toBeLessThan(near(465.444, 500));
    expect(Math.abs(meanRun(4, 3000, 20, above(5), 1) / 10.376 - 1)).toBeLessThan(0.04);
    expect(Math.abs(meanRun(5, 3000, 20, above(4), 1) / 8.3831 - 1)).toBeLessThan(0.04);
  });

  it('a running average of 0.2 with 2.962: every 499.7 (Lucas and Saccucci 1990: 500, from memory); of 0.1 with 2.7, shifted by one sigma, 9.73', () => {
    // Those run lengths are for the limits of the long run, not for limits that widen from the start.
    const average =
      (lambda: number, width: number): FirstSignal =>
      (values) => {
        const steady = width * Math.sqrt(lambda / (2 - lambda));
        const sigmas = new Array<number>(values.length).fill(1);
        return ewma(values, 0, sigmas, { lambda, width }).findIndex((point) => Math.abs(point.average) > steady);
      };
    expect(Math.abs(meanRun(6, 500, 300, average(0.2, 2.962)) - 499.735)).toBeLessThan(near(499.735, 500));
    expect(Math.abs(meanRun(8, 3000, 20, average(0.1, 2.7), 1) / 9.73 - 1)).toBeLessThan(0.04);
  });
});
