import {
  arrheniusRatio,
  chanceRipeBy,
  daysAtTemperature,
  findSpecies,
  fitCardinals,
  q10,
  relativeGrowth,
  ripeBetween,
  ripeByWithChance,
  seededRandom,
  slowLot,
  specificGrowthPerDay,
  strainRipening,
  usualCardinals,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

const generic = { minC: 5, optimumC: 28, maxC: 35 };

describe('cardinal temperature model (Rosso 1995; formula read in R’s nlsMicrobio and biogrowth)', () => {
  it.each([
    [10, 0.0630894664],
    [20, 0.537670577],
    [25, 0.931108723],
    [30, 1.40204008],
    [37, 2.07868342],
    [41.3, 2.3],
    [44, 2.10158013],
    [47, 0.630023287],
  ])(
    'E. coli at %d °C grows %d (parameters 2.3; 4.9, 41.3, 47.5 from memory, values computed with two R packages)',
    (t, rate) => {
      expect(2.3 * relativeGrowth(t, { minC: 4.9, optimumC: 41.3, maxC: 47.5 })).toBeCloseTo(rate, 7);
    },
  );

  it.each([
    [10, 0.0841297617],
    [15, 0.3127932437],
    [20, 0.6297816757],
    [24, 0.8764069742],
    [26, 0.9640514938],
    [30, 0.9501368197],
    [32, 0.7606956522],
    [34, 0.3417310037],
    [5, 0],
    [35, 0],
    [-10, 0],
    [60, 0],
  ])('the generic curve at %d °C is %d (computed)', (t, rate) => {
    expect(relativeGrowth(t, generic)).toBeCloseTo(rate, 9);
  });

  it('recovers its own parameters from ten points (1.5; 5, 28, 35.5)', () => {
    const truth = { minC: 5, optimumC: 28, maxC: 35.5 };
    const points = [8, 12, 16, 20, 24, 26, 28, 30, 32, 34].map((temperatureC) => ({
      temperatureC,
      rate: 1.5 * relativeGrowth(temperatureC, truth),
    }));
    const fit = fitCardinals(points);
    if (fit.kind !== 'fitted') throw new Error(fit.reason);
    expect(fit.bestRate).toBeCloseTo(1.5, 3);
    expect(fit.minC).toBeCloseTo(5, 1);
    expect(fit.optimumC).toBeCloseTo(28, 2);
    expect(fit.maxC).toBeCloseTo(35.5, 1);
  });

  it('is 1 at the optimum, between 0 and 1 elsewhere, rising before and falling after, for every sound set', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 15, noNaN: true }),
        fc.double({ min: 3, max: 20, noNaN: true }),
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        (minC, half, share) => {
          const maxC = minC + 2 * half;
          const cardinals = { minC, maxC, optimumC: minC + half + share * half };
          expect(relativeGrowth(cardinals.optimumC, cardinals)).toBeCloseTo(1, 9);
          let last = 0;
          for (let t = minC; t <= cardinals.optimumC; t += half / 20) {
            const rate = relativeGrowth(t, cardinals);
            expect(rate).toBeGreaterThanOrEqual(last - 1e-9);
            expect(rate).toBeLessThanOrEqual(1 + 1e-9);
            last = rate;
          }
        },
      ),
      { numRuns: 50 },
    );
  });

  it('refuses an optimum below the middle, where the model has a pole', () => {
    expect(() => relativeGrowth(20, { minC: 0, optimumC: 10, maxC: 30 })).toThrow('above the middle');
    expect(() => relativeGrowth(Number.NaN, generic)).toThrow('is a number');
  });

  it('P. eryngii 0.90, 2.84, 3.35, 2.39 mm/day at 15 to 30 °C (Soylu 2016, read): four points are not enough to fit four numbers', () => {
    const points = [
      [15, 0.9],
      [20, 2.84],
      [25, 3.35],
      [30, 2.39],
    ].map(([temperatureC, rate]) => ({ temperatureC: temperatureC!, rate: rate! }));
    expect(fitCardinals(points)).toMatchObject({ kind: 'not enough data', n: 4, needed: 6 });
    // The published exact four-point curve: rate 3.37; 13.0, 24.2, 34.9 (a numeric check, not biology).
    for (const { temperatureC, rate } of points)
      expect(
        Math.abs(3.37 * relativeGrowth(temperatureC, { minC: 13, optimumC: 24.2, maxC: 34.9 }) - rate),
      ).toBeLessThan(0.06);
  });

  it('does not fit points whose best is the hottest tried, or points that do not bend', () => {
    const rising = [10, 12, 14, 16, 18, 20, 22].map((temperatureC) => ({ temperatureC, rate: temperatureC }));
    expect(fitCardinals(rising)).toMatchObject({ kind: 'not enough data' });
    expect(() => fitCardinals([{ temperatureC: 20, rate: -1 }])).toThrow('cannot be');
  });
});

describe('growth by hand', () => {
  it('Q10 (computed) and the colony’s growth 7.2 mm/day over 3 mm = 2.4 a day (J. Gen. Microbiol. 1991, read)', () => {
    expect(q10(2, 4, 10)).toBeCloseTo(2, 12);
    expect(q10(3, 5, 5)).toBeCloseTo(2.7777778, 7);
    expect(specificGrowthPerDay(7.2, 3)).toBeCloseTo(2.4, 12);
    expect(84 / 20).toBeCloseTo(4.2, 12);
  });

  it('Arrhenius: 50 kJ/mol are 1.96735 times as fast at 30 as at 20 °C (computed), and the same backwards is its inverse', () => {
    expect(arrheniusRatio(50, 20, 30)).toBeCloseTo(1.96735067, 5);
    expect(arrheniusRatio(83.144, 30, 20) * arrheniusRatio(83.144, 20, 30)).toBeCloseTo(1, 12);
    expect(arrheniusRatio(83.144, 25, 25)).toBe(1);
    expect(() => arrheniusRatio(0, 20, 30)).toThrow('above 0');
    expect(() => arrheniusRatio(50, 20, -300)).toThrow('−80');
  });

  it('takes longer in a cooler room, never ends in one too cold, and matches the cold edge of Hericium (Grigansky 1999: none at 3 and 37 °C)', () => {
    const hericium = { minC: 3, optimumC: 26, maxC: 37 };
    expect(relativeGrowth(3, hericium)).toBe(0);
    expect(relativeGrowth(37, hericium)).toBe(0);
    expect(daysAtTemperature(14, 24, 18, hericium)!).toBeGreaterThan(18);
    expect(daysAtTemperature(14, 24, 24, hericium)).toBeCloseTo(14, 12);
    expect(daysAtTemperature(14, 24, 2, hericium)).toBeNull();
  });

  it('has sound cardinals for every optimum a species may have', () => {
    for (const optimumC of [18, 20, 24, 26, 30, 35])
      for (const tropical of [false, true])
        expect(relativeGrowth(optimumC, usualCardinals(optimumC, tropical))).toBeCloseTo(1, 9);
  });
});

describe('days to ripe from checks', () => {
  const settings = { publishedDays: 14, referenceC: 24, cardinals: usualCardinals(26, false) };

  it('brackets the day between the last unripe and the first ripe look, in any order', () => {
    expect(
      ripeBetween([
        { days: 12, ripe: true },
        { days: 9, ripe: false },
        { days: 15, ripe: true },
      ]),
    ).toEqual({ kind: 'between', afterDays: 9, byDays: 12 });
    expect(ripeBetween([{ days: 9, ripe: false }])).toEqual({ kind: 'between', afterDays: 9, byDays: null });
    expect(ripeBetween([{ days: 12, ripe: true }])).toEqual({ kind: 'between', afterDays: 0, byDays: 12 });
    expect(ripeBetween([])).toEqual({ kind: 'unseen' });
    expect(
      ripeBetween([
        { days: 10, ripe: true },
        { days: 12, ripe: false },
      ]),
    ).toEqual({ kind: 'contradiction', ripeOnDay: 10, unripeOnDay: 12 });
    expect(() => ripeBetween([{ days: -3, ripe: false }])).toThrow('clock');
  });

  it('with no jars is the published days, with their doubt', () => {
    const { all } = strainRipening([], settings);
    expect(all.median.value).toBeCloseTo(14, 6);
    expect(all.median.n).toBe(0);
    expect(all.median.low).toBeLessThan(9);
    expect(all.median.high).toBeGreaterThan(22);
    expect(all.ownShare).toBe(0);
  });

  it('with many jars is what they say, whatever was published, and holds the truth in 95 of 100 farms', () => {
    const random = seededRandom(17);
    let held = 0;
    for (let farm = 0; farm < 100; farm++) {
      const truth = 18 * Math.exp(0.1 * random.normal());
      const jars = Array.from({ length: 60 }, () => {
        const days = truth * (-Math.log(1 - random.uniform()) / Math.LN2) ** (1 / 7);
        const after = 3 * Math.floor(days / 3);
        return { afterDays: after, byDays: days > 24 ? null : after + 3, generation: 2, temperatureC: 24 };
      }).map((jar) => (jar.byDays === null ? { ...jar, afterDays: 24 } : jar));
      const { median } = strainRipening(jars, settings).all;
      if (median.low <= truth && truth <= median.high) held++;
      expect(Math.abs(median.value - truth)).toBeLessThan(2.5);
    }
    expect(held).toBeGreaterThanOrEqual(88);
  });

  it('brings jars of a cool room to the reference temperature, and leaves out a room where nothing grows', () => {
    const factor = daysAtTemperature(1, 18, 24, settings.cardinals)!;
    const cool = Array.from({ length: 80 }, () => ({
      afterDays: 12 / factor,
      byDays: 15 / factor,
      generation: 1,
      temperatureC: 18,
    }));
    const cold = { afterDays: 12, byDays: 15, generation: 1, temperatureC: 3 };
    const result = strainRipening([...cool, cold], settings);
    expect(result.leftOut).toBe(1);
    expect(result.all.median.value).toBeGreaterThan(12);
    expect(result.all.median.value).toBeLessThan(15);
  });

  it('tells a slower generation apart once there are enough jars of it, and leans on the strain before', () => {
    const of = (generation: number, after: number, count: number) => ({
      afterDays: after,
      byDays: after + 2,
      generation,
      temperatureC: null,
      count,
    });
    const { byGeneration } = strainRipening([of(1, 12, 60), of(2, 12, 60), of(3, 18, 60), of(4, 18, 1)], settings);
    const [first, third, fourth] = [1, 3, 4].map((generation) => byGeneration.get(generation)!.median);
    expect(third!.value).toBeGreaterThan(first!.value + 3);
    expect(fourth!.high - fourth!.low).toBeGreaterThan(third!.high - third!.low);
    expect(fourth!.n).toBe(1);
  });

  it('tells when a jar seen unripe will be ripe: the same as a count over simulated jars still unripe then', () => {
    const ripening = strainRipening([], settings).all;
    const random = seededRandom(19);
    const days = Array.from(
      { length: 40_000 },
      () => ripening.scaleDays * (-Math.log(1 - random.uniform())) ** (1 / ripening.shape),
    );
    const unripe = days.filter((each) => each > 13);
    const byFifteen = unripe.filter((each) => each <= 15).length / unripe.length;
    expect(Math.abs(chanceRipeBy(ripening, 13, 15) - byFifteen)).toBeLessThan(0.015);
    expect(chanceRipeBy(ripening, 18, 18)).toBe(0);
    for (const unripeAt of [0, 9, 20])
      for (const chance of [0, 0.1, 0.5, 0.9])
        expect(chanceRipeBy(ripening, unripeAt, ripeByWithChance(ripening, unripeAt, chance))).toBeCloseTo(chance, 9);
    expect(() => chanceRipeBy(ripening, 10, 9)).toThrow('no earlier');
    expect(() => ripeByWithChance(ripening, 3, 1)).toThrow('below 1');
  });

  it('calls a lot slow only when its strain would hardly ever be unripe so late', () => {
    const { all } = strainRipening([], settings);
    expect(slowLot(all, 14).kind).toBe('on time');
    expect(slowLot(all, 21)).toMatchObject({ kind: 'slow' });
    expect(slowLot(all, 0).chance).toBe(1);
  });

  it('gives quantiles in order for every species', () => {
    for (const name of ['oyster', 'pink oyster', 'shiitake', 'reishi', 'morel']) {
      const { spawn } = findSpecies(name).profile;
      const { all } = strainRipening([], {
        publishedDays: spawn.daysToRipe.value,
        referenceC: spawn.incubationTemperatureC.value,
        cardinals: usualCardinals(spawn.growthOptimumC.value, false),
      });
      expect(all.earlyDays).toBeLessThan(all.usualDays);
      expect(all.usualDays).toBeLessThan(all.lateDays);
    }
  });
});
