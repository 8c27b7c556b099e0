import {
  betaBinomialLogLikelihood,
  binomialCdf,
  criticalRatio,
  croston,
  demandForecast,
  fitHolt,
  fitSimpleSmoothing,
  holtSmoothing,
  meanAbsoluteScaledError,
  newsvendor,
  newsvendorPoisson,
  normalLoss,
  orderSize,
  poissonStock,
  runsForHarvest,
  safetyStock,
  seededRandom,
  silverMeal,
  simpleSmoothing,
  startsForGood,
  startsForGoodLot,
  tsb,
  wagnerWhitin,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

const oil = [
  445.364098, 453.19501, 454.409641, 422.378906, 456.037122, 440.386605, 425.194373, 486.205174, 500.429086, 521.275909,
  508.947617, 488.888858, 509.870575, 456.722912, 473.816603, 525.950871, 549.833808, 542.34047,
];
const ausair = [
  17.5534, 21.8601, 23.8866, 26.9293, 26.8885, 28.8314, 30.0751, 30.9535, 30.1857, 31.5797, 32.5776, 33.4774, 39.0216,
  41.3864, 41.5966, 44.6573, 46.9518, 48.7288, 51.4884, 50.027, 60.6409, 63.3603, 66.3553, 68.198, 68.1232, 69.7793,
  72.5977,
];

describe('exponential smoothing (Hyndman and Athanasopoulos, Forecasting: Principles and Practice 2; data read in R’s fpp2)', () => {
  it('oil with the fitted weight 0.833890143 and start 446.586793 gives the fitted values and forecast 542.680587 (R forecast 8.20)', () => {
    const { fitted, level } = simpleSmoothing(oil, 0.833890143, 446.586793);
    const printed = [
      446.5868, 445.5672, 451.928, 453.9974, 427.6311, 451.3186, 442.2025, 428.0196, 476.54, 496.4609, 517.1539,
      510.3108, 492.4472, 506.9764, 465.0705, 472.3638, 517.0495, 544.388,
    ];
    printed.forEach((value, i) => {
      expect(Math.abs(fitted[i]! - value)).toBeLessThan(1e-3);
    });
    expect(level).toBeCloseTo(542.680587, 4);
  });

  it('finds that weight and start itself: 0.8339, 446.6, RMSE 28.12234 (book from memory, digits from R)', () => {
    const fit = fitSimpleSmoothing(oil);
    expect(fit.alpha).toBeCloseTo(0.83389, 3);
    expect(Math.abs(fit.start - 446.586793)).toBeLessThan(0.2);
    expect(fit.rootMeanSquare).toBeCloseTo(28.12234, 4);
    expect(fit.level).toBeCloseTo(542.68, 1);
  });

  it('Holt with fixed weights 0.8 and 0.2 on Australian air passengers (computed)', () => {
    const { fitted, level, trend } = holtSmoothing(ausair, 0.8, 0.2, 15.57, 2.102);
    [17.672, 19.660144, 23.85512576, 26.32035799].forEach((value, i) => {
      expect(fitted[i]).toBeCloseTo(value, 7);
    });
    expect(level).toBeCloseTo(72.53236102, 7);
    expect(trend).toBeCloseTo(2.256521055, 8);
    expect(level + trend).toBeCloseTo(74.78888207, 7);
  });

  it('fits Holt’s trend as R does: forecast 74.6013, 76.7030 and so on, with a slope that stays 2.1017', () => {
    const fit = fitHolt(ausair);
    expect(Math.abs(fit.level + fit.trend - 74.6013)).toBeLessThan(0.05);
    expect(Math.abs(fit.trend - 2.1017)).toBeLessThan(0.02);
    expect(fit.alpha).toBeCloseTo(0.8302, 1);
  });

  it('refuses weights outside 0 to 1 and series too short', () => {
    expect(() => simpleSmoothing(oil, 1.2, 400)).toThrow('from 0 to 1');
    expect(() => fitSimpleSmoothing([1, 2])).toThrow('three values');
    expect(() => fitHolt([1, 2, 3])).toThrow('five values');
  });
});

describe('intermittent demand (no published worked vector was found; by hand and by the published factors)', () => {
  it('Croston by hand: 0 5 0 0 4 0 7 with 0.1', () => {
    const { size, intervalOrChance, perPeriod } = croston([0, 5, 0, 0, 4, 0, 7], 0.1);
    const handSize = 5 + 0.1 * (4 - 5) + 0.1 * (7 - (5 + 0.1 * (4 - 5)));
    const handInterval = 2 + 0.1 * (3 - 2) + 0.1 * (2 - (2 + 0.1 * (3 - 2)));
    expect(size).toBeCloseTo(handSize, 12);
    expect(intervalOrChance).toBeCloseTo(handInterval, 12);
    expect(perPeriod).toBeCloseTo(5.11 / 2.09, 12);
  });

  it('empty periods at the end change nothing in Croston’s method, and fade in TSB’s', () => {
    const series = [3, 0, 0, 4, 0, 5];
    expect(croston([...series, 0, 0, 0])).toEqual(croston(series));
    expect(tsb([...series, ...new Array<number>(30).fill(0)]).perPeriod).toBeLessThan(0.1 * tsb(series).perPeriod);
  });

  it('the correction of Syntetos and Boylan is 1 − α/2 (factor read in forecasting documentation)', () => {
    const series = [3, 0, 0, 4, 0, 5];
    const alpha = 2 * (1 - 0.935366695);
    expect(croston(series, alpha, 'sba').perPeriod / croston(series, alpha).perPeriod).toBeCloseTo(0.935366695, 9);
  });

  it('on simulated demand Croston is biased up and the correction takes the bias off', () => {
    const random = seededRandom(5);
    let [plain, corrected] = [0, 0];
    const runs = 400;
    for (let i = 0; i < runs; i++) {
      const series = Array.from({ length: 200 }, () => (random.uniform() < 0.3 ? 10 : 0));
      plain += croston(series, 0.3).perPeriod / runs;
      corrected += croston(series, 0.3, 'sba').perPeriod / runs;
    }
    expect(plain).toBeGreaterThan(3.15);
    expect(Math.abs(corrected - 3)).toBeLessThan(0.2);
  });

  it('nothing ever wanted is 0, never NaN', () => {
    expect(croston([0, 0, 0]).perPeriod).toBe(0);
    expect(tsb([0, 0]).perPeriod).toBe(0);
    expect(croston([]).perPeriod).toBe(0);
    expect(() => croston([-1])).toThrow('0 or more');
  });
});

describe('forecast of spawn demand', () => {
  it('takes the method that erred least: a trend for growing weeks, a mean for steady ones', () => {
    const random = seededRandom(9);
    const growing = demandForecast(
      Array.from({ length: 40 }, (_, i) => 1000 + 100 * i + 20 * random.normal()),
      4,
    );
    if (growing.kind !== 'forecast') throw new Error(growing.reason);
    expect(growing.method).toBe('trend');
    expect(Math.abs(growing.weeks[3]!.value - 5300)).toBeLessThan(300);
    const steady = demandForecast(
      Array.from({ length: 40 }, () => 5000 + 400 * random.normal()),
      2,
    );
    if (steady.kind !== 'forecast') throw new Error(steady.reason);
    expect(['mean', 'simple', 'intermittent', 'fading']).toContain(steady.method);
    expect(Math.abs(steady.weeks[0]!.value - 5000)).toBeLessThan(500);
    expect(steady.tried.map(({ meanAbsoluteError }) => meanAbsoluteError)).toEqual(
      [...steady.tried.map(({ meanAbsoluteError }) => meanAbsoluteError)].sort((a, b) => a - b),
    );
  });

  it('its 80 % interval holds the next week in about 80 of 100', () => {
    const random = seededRandom(77);
    let inside = 0;
    for (let trial = 0; trial < 300; trial++) {
      const series = Array.from({ length: 41 }, () => Math.max(0, 5000 + 800 * random.normal()));
      const forecast = demandForecast(series.slice(0, 40), 1, 0.8);
      if (forecast.kind !== 'forecast') throw new Error(forecast.reason);
      const [week] = forecast.weeks;
      if (week!.low <= series[40]! && series[40]! <= week!.high) inside++;
    }
    expect(inside / 300).toBeGreaterThan(0.73);
    expect(inside / 300).toBeLessThan(0.88);
  });

  it('answers "not enough data" for few weeks or none wanted, and refuses a negative week', () => {
    expect(demandForecast([1, 2, 3], 2)).toMatchObject({ kind: 'not enough data', n: 3, needed: 8 });
    expect(demandForecast(new Array<number>(20).fill(0), 2)).toMatchObject({ kind: 'not enough data' });
    expect(() => demandForecast([-5], 1)).toThrow('0 g or more');
    expect(() => demandForecast([], 0)).toThrow('1 to 52');
  });

  it('MASE of Hyndman and Koehler 2006: 0.5303030 (as R’s accuracy)', () => {
    expect(meanAbsoluteScaledError([10, 12, 11, 13, 12, 14, 13, 15], [14, 16, 15], [14.5, 14.5, 14.5])).toBeCloseTo(
      0.530303,
      6,
    );
    expect(() => meanAbsoluteScaledError([3, 3], [1], [1])).toThrow('never change');
  });
});

describe('newsvendor and stock', () => {
  it('Porteus: N(100, 30) with 3 to gain and 1 to lose is 120.23 at ratio 0.75 (read in R’s SCperf)', () => {
    const answer = newsvendor(100, 30, { short: 3, over: 1 });
    expect(answer.criticalRatio).toBe(0.75);
    expect(answer.quantity).toBeCloseTo(120.2347, 3);
    expect(answer.expectedCost).toBeCloseTo(38.13, 2);
    expect(answer.fillRate).toBeCloseTo(0.9553, 4);
  });

  it('Gallego: N(100, 20) is 113.49 with 97 % filled; Cachon and Terwiesch N(200, 80), 8 and 4: 234.4582 (235.2 with a rounded table)', () => {
    expect(newsvendor(100, 20, { short: 3, over: 1 }).quantity).toBeCloseTo(113.4898, 3);
    expect(newsvendor(100, 20, { short: 3, over: 1 }).fillRate).toBeCloseTo(0.9702, 4);
    expect(newsvendor(200, 80, { short: 8, over: 4 }).quantity).toBeCloseTo(234.4582, 3);
  });

  it('Poisson: mean 10 at 0.75 is 12; 28, 11 and 121 at other means (computed)', () => {
    expect(newsvendorPoisson(10, { short: 3, over: 1 })).toBe(12);
    expect(poissonStock(20, 0.95)).toBe(28);
    expect(poissonStock(7.5, 0.9)).toBe(11);
    expect(poissonStock(100, 0.98)).toBe(121);
  });

  it.each([
    [0, 0.398942],
    [0.5, 0.197797],
    [1, 0.083315],
    [1.5, 0.029307],
    [2, 0.008491],
  ])('normal loss at %d is %d (table)', (z, loss) => {
    expect(normalLoss(z)).toBeCloseTo(loss, 5);
  });

  it('a demand spread evenly over 80 to 150, 6 to gain and 9 to lose, is 108: the ratio 0.4 of the way (computed)', () => {
    expect(80 + 70 * criticalRatio({ short: 6, over: 9 })).toBeCloseTo(108, 9);
  });

  it('orders 200 at a time of 1,000 a year at 10 an order and 0.5 to keep one (Harris’s formula, computed)', () => {
    expect(orderSize(1000, 10, 0.5)).toBeCloseTo(200, 9);
    expect(() => orderSize(1000, 0, 0.5)).toThrow('above 0');
  });

  it('holds 52.661 above the mean use of four uncertain weeks (normal quantile 1.6448536270, computed)', () => {
    const resupply = { usePerPeriod: 50, useDeviation: 10, leadPeriods: 4, leadDeviation: 0.5 };
    expect(safetyStock(resupply, 0.95)).toBeCloseTo(52.661011, 5);
    expect(safetyStock({ ...resupply, useDeviation: 0, leadDeviation: 0 }, 0.99)).toBe(0);
    expect(safetyStock({ usePerPeriod: 0, useDeviation: 0.7, leadPeriods: 2, leadDeviation: 3 }, 0.95)).toBeCloseTo(
      1.628322,
      5,
    );
    expect(() => safetyStock(resupply, 1)).toThrow('below 1');
    expect(() => safetyStock({ ...resupply, leadPeriods: Number.NaN }, 0.9)).toThrow('0 or more');
  });

  it('refuses costs of nothing', () => {
    expect(() => newsvendor(100, 30, { short: 0, over: 1 })).toThrow('above 0');
    expect(() => newsvendor(100, 0, { short: 1, over: 1 })).toThrow('above 0');
  });
});

describe('lot sizing', () => {
  const wagner = {
    demand: [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
    setupCost: [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
    holdingCost: 1,
  };

  it('Wagner and Whitin 1958: 864 (published, from memory), lots 98 97 121 112 67 135, prefixes as computed', () => {
    expect(wagnerWhitin(wagner)).toEqual({ cost: 864, lots: [98, 0, 97, 0, 121, 0, 0, 112, 0, 67, 135, 0] });
    const prefixes = [85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864];
    prefixes.forEach((cost, i) => {
      expect(
        wagnerWhitin({
          demand: wagner.demand.slice(0, i + 1),
          setupCost: wagner.setupCost.slice(0, i + 1),
          holdingCost: 1,
        }).cost,
      ).toBe(cost);
    });
  });

  it('Hillier and Lieberman’s jets: 4.8 (read in R’s SCperf)', () => {
    expect(wagnerWhitin({ demand: [3, 2, 3, 2], setupCost: 2, holdingCost: 0.2 }).cost).toBeCloseTo(4.8, 9);
  });

  it('Nahmias’s machine shop: Silver–Meal 48 0 47 0 20 (read), 310, which is also the optimum', () => {
    const shop = { demand: [18, 30, 42, 5, 20], setupCost: 80, holdingCost: 2 };
    expect(silverMeal(shop)).toEqual({ lots: [48, 0, 47, 0, 20], cost: 310 });
    expect(wagnerWhitin(shop).cost).toBe(310);
    expect(wagnerWhitin({ demand: [52, 87, 23, 56], setupCost: 75, holdingCost: 1 }).cost).toBe(248);
  });

  it('is never dearer than any plan of lots, by trying them all', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 50 }), { minLength: 1, maxLength: 7 }),
        fc.integer({ min: 1, max: 90 }),
        (demand, setupCost) => {
          const cheapest = Math.min(
            ...Array.from({ length: 2 ** (demand.length - 1) }, (_, bits) => costOfStarts(demand, setupCost, bits)),
          );
          const plan = wagnerWhitin({ demand, setupCost, holdingCost: 1 });
          expect(plan.cost).toBeCloseTo(cheapest, 9);
          expect(plan.lots.reduce((sum, lot) => sum + lot, 0)).toBe(demand.reduce((sum, value) => sum + value, 0));
          expect(silverMeal({ demand, setupCost, holdingCost: 1 }).cost).toBeGreaterThanOrEqual(plan.cost - 1e-9);
        },
      ),
      { numRuns: 60 },
    );
    expect(() => wagnerWhitin({ demand: [1, -2], setupCost: 1, holdingCost: 1 })).toThrow('0 or more');
  });
});

/** Cost of making a lot in period 1 and in each period whose bit is set, free where nothing is wanted. */
function costOfStarts(demand: readonly number[], setupCost: number, bits: number): number {
  let [cost, start, any] = [0, 0, false];
  demand.forEach((value, i) => {
    if (i > 0 && (bits >> (i - 1)) & 1) {
      cost += any ? setupCost : 0;
      [start, any] = [i, false];
    }
    cost += value * (i - start);
    any ||= value > 0;
  });
  return cost + (any ? setupCost : 0);
}

describe('starts for enough good jars (computed with scipy)', () => {
  it.each([
    [100, 0.9, [116, 117, 120]],
    [50, 0.85, [63, 64, 67]],
    [20, 0.9, [24, 25, 27]],
    [10, 0.8, [15, 16, 18]],
    [200, 0.95, [215, 216, 219]],
  ])('%i good at %d', (good, rate, starts) => {
    expect([0.9, 0.95, 0.99].map((assurance) => startsForGood(good, rate, assurance))).toEqual(starts);
  });

  it('dividing by the rate is enough in only 60 to 81 of 100 tries', () => {
    const chance = (good: number, rate: number) => 1 - binomialCdf(good - 1, Math.ceil(good / rate), rate);
    expect(chance(100, 0.9)).toBeCloseTo(0.6715, 4);
    expect(chance(50, 0.85)).toBeCloseTo(0.6091, 4);
    expect(chance(20, 0.9)).toBeCloseTo(0.8073, 4);
    expect(chance(10, 0.8)).toBeCloseTo(0.7473, 4);
  });

  it('when lots share good and bad days: Beta(17, 3) and Beta(45, 5)', () => {
    expect([0.8, 0.9, 0.95].map((assurance) => startsForGoodLot(50, { a: 17, b: 3 }, assurance))).toEqual([64, 68, 73]);
    expect([0.8, 0.9, 0.95].map((assurance) => startsForGoodLot(100, { a: 45, b: 5 }, assurance))).toEqual([
      116, 120, 124,
    ]);
    const all = Array.from({ length: 21 }, (_, hits) =>
      Math.exp(betaBinomialLogLikelihood([{ hits, n: 20 }], { a: 17, b: 3 })),
    );
    expect(all.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 9);
  });

  it('none wanted takes none, and nonsense is refused', () => {
    expect(startsForGood(0, 0.5, 0.9)).toBe(0);
    expect(() => startsForGood(10, 0, 0.9)).toThrow('above 0');
    expect(() => startsForGood(1.5, 0.9, 0.9)).toThrow('Whole jars');
  });
});

describe('from promised harvest back to runs', () => {
  const habit = {
    efficiency: 0.8,
    shares: [0.6, 0.4],
    daysToFirstHarvest: 30,
    daysBetweenFlushes: 14,
    lossRate: 0.1,
    keepsDays: 4,
  };
  const always = () => true;

  it('sizes a run by hand: 4.32 kg promised, 60 % in the first flush, 80 % efficiency, a tenth lost: 10 kg dry', () => {
    const plan = runsForHarvest([{ id: 'p', day: 40, freshG: 4320 }], habit, 0, always);
    expect(plan.runs).toEqual([{ day: 10, substrateDryG: expect.closeTo(10_000, 6), serves: ['p'] }]);
    expect(plan.surplusG).toBeCloseTo(2880, 6);
    expect(plan.tooLate).toEqual([]);
  });

  it('serves a later promise from the second flush before asking for another run', () => {
    const plan = runsForHarvest(
      [
        { id: 'a', day: 40, freshG: 4320 },
        { id: 'b', day: 55, freshG: 2000 },
      ],
      habit,
      0,
      always,
    );
    expect(plan.runs).toHaveLength(1);
    expect(plan.runs[0]!.serves).toEqual(['a', 'b']);
    expect(plan.surplusG).toBeCloseTo(880, 6);
  });

  it('spawns only on the farm’s days, no later than the promise allows', () => {
    const plan = runsForHarvest([{ id: 'p', day: 43, freshG: 100 }], habit, 0, (day) => day % 7 === 4);
    expect(plan.runs[0]!.day).toBe(11);
  });

  it('says what is too late, with the day it would have taken', () => {
    const plan = runsForHarvest([{ id: 'p', day: 20, freshG: 500 }], habit, 0, always);
    expect(plan).toMatchObject({ runs: [], tooLate: [{ id: 'p', missingG: 500, spawnBy: -10 }] });
    expect(() => runsForHarvest([], { ...habit, shares: [0.5] }, 0, always)).toThrow('add up to 1');
  });

  it('meets every promise that is not too late, on random promises', () => {
    const promises = fc.array(
      fc.record({ day: fc.integer({ min: 30, max: 120 }), freshG: fc.integer({ min: 0, max: 9000 }) }),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(promises, (list) => {
        const wanted = list.map((each, i) => ({ id: `${i}`, ...each }));
        const { runs, tooLate, surplusG } = runsForHarvest(wanted, habit, 0, always);
        expect(tooLate).toEqual([]);
        const borne = runs.reduce((sum, { substrateDryG }) => sum + substrateDryG * 0.8 * 0.9, 0);
        expect(borne).toBeCloseTo(wanted.reduce((sum, { freshG }) => sum + freshG, 0) + surplusG, 3);
      }),
      { numRuns: 60 },
    );
  });
});
