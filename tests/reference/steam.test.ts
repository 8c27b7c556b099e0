import {
  atmosphericPressureKpa,
  boilingPointC,
  celsiusToKelvin,
  decimalReductionMin,
  fahrenheitDifferenceToCelsius,
  fahrenheitToCelsius,
  feetToMetres,
  foodReference,
  gaugePressureFor,
  holdForLethality,
  kilopascalsToPsi,
  lethality,
  lethalityOfHold,
  lethalRate,
  logReduction,
  minutesAbove,
  pharmacyReference,
  psiToKilopascals,
  saturationPressureKpa,
  saturationTemperatureC,
  spores,
  steamTemperatureC,
  survivors,
  type TracePoint,
  zFromTwo,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';

const relative = (value: number, expected: number) => Math.abs(value / expected - 1);

describe('saturated steam, IAPWS-IF97 region 4 (tables 35 and 36 read)', () => {
  it.each([
    [300, 0.353658941e-2],
    [500, 0.263889776e1],
    [600, 0.123443146e2],
  ])('at %i K the pressure is %d MPa', (kelvin, megapascal) => {
    expect(relative(saturationPressureKpa(kelvin - 273.15), megapascal * 1000)).toBeLessThan(2e-9);
  });

  it.each([
    [0.1, 372.755919],
    [1, 453.035632],
    [10, 584.149488],
  ])('at %d MPa the temperature is %d K', (megapascal, kelvin) => {
    expect(relative(celsiusToKelvin(saturationTemperatureC(megapascal * 1000)), kelvin)).toBeLessThan(2e-9);
  });

  it('useful points (computed with an independent IF97 library)', () => {
    for (const [c, kpa] of [
      [100, 101.418],
      [121, 205.0389],
      [121.1, 205.6853],
      [121 + 1 / 9, 205.7571],
      [134, 304.1989],
    ] as const)
      expect(relative(saturationPressureKpa(c), kpa)).toBeLessThan(6e-6);
    for (const [kpa, c] of [
      [101.325, 99.974],
      [150, 111.35],
      [200, 120.2115],
      [205, 120.994],
    ] as const)
      expect(Math.abs(saturationTemperatureC(kpa) - c)).toBeLessThan(6e-4);
  });

  it('pressure and temperature undo each other over the whole line', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 373, noNaN: true }), (c) => {
        expect(Math.abs(saturationTemperatureC(saturationPressureKpa(c)) - c)).toBeLessThan(1e-6);
      }),
    );
    expect(() => saturationPressureKpa(400)).toThrow('not at 400');
    expect(() => saturationTemperatureC(Number.NaN)).toThrow('not at NaN');
  });
});

describe('U.S. Standard Atmosphere 1976', () => {
  it.each([
    [500, 95461.3],
    [1000, 89876.3],
    [1500, 84559.7],
    [2000, 79501.4],
    [3000, 70121.2],
    [5000, 54048.3],
  ])('%i m: %d Pa (table from memory, computed)', (metres, pascal) => {
    expect(Math.abs(atmosphericPressureKpa(metres) * 1000 - pascal)).toBeLessThan(0.1);
  });

  it('5,000 ft are 12.228 psi and 10,000 ft 10.108 psi (table read)', () => {
    expect(kilopascalsToPsi(atmosphericPressureKpa(feetToMetres(5000)))).toBeCloseTo(12.228, 2);
    expect(kilopascalsToPsi(atmosphericPressureKpa(feetToMetres(10_000)))).toBeCloseTo(10.108, 2);
  });

  it('refuses the sky and the deep sea', () => {
    expect(() => atmosphericPressureKpa(9001)).toThrow('9001 m');
    expect(() => atmosphericPressureKpa(Number.NaN)).toThrow('NaN');
  });
});

describe('boiling point and gauge pressure at altitude', () => {
  it.each([
    [0, 99.974],
    [500, 98.312],
    [1000, 96.649],
    [1500, 94.983],
    [1524, 94.903],
    [2000, 93.315],
    [2438, 91.851],
    [3000, 89.972],
  ])('water boils at %i m at %d °C (computed from the two standards)', (metres, c) => {
    // The computed values take the altitude for a geopotential height; the difference is 13 Pa at 3,000 m.
    expect(Math.abs(boilingPointC(metres) - c)).toBeLessThan(6e-3);
  });

  it.each([
    [0, 212],
    [1000, 210.2],
    [2000, 208.5],
    [3000, 206.7],
    [4000, 204.9],
  ])('USDA Complete Guide to Home Canning: %i ft boil at %d °F (read), within 0.2 °C', (feet, f) => {
    expect(Math.abs(boilingPointC(feetToMetres(feet)) - fahrenheitToCelsius(f))).toBeLessThan(0.2);
  });

  it.each([
    [0, 10, 115.198],
    [0, 11, 116.42],
    [0, 15, 120.955],
    [2000, 11, 115.16],
    [2000, 15, 119.84],
    [6000, 13, 115.3],
    [6000, 15, 117.7],
    [10_000, 15, 115.71],
  ])('at %i ft %i psi on the gauge are %d °C (computed)', (feet, psi, c) => {
    expect(Math.abs(steamTemperatureC(psiToKilopascals(psi), feetToMetres(feet)) - c)).toBeLessThan(0.02);
  });

  it.each([
    [2000, 11],
    [4000, 12],
    [6000, 13],
    [8000, 14],
  ])('PNW 421 dial gauge up to %i ft: %i psi for 240 °F (read), within 0.35 psi', (feet, psi) => {
    const needed = gaugePressureFor(fahrenheitToCelsius(240), feetToMetres(feet), psiToKilopascals(20));
    expect(needed.kind).toBe('reachable');
    expect(Math.abs(kilopascalsToPsi(needed.gaugePressureKpa) - psi)).toBeLessThan(0.35);
  });

  it.each([
    [0, 10.289, 15.147],
    [2000, 11.32, 16.178],
    [4000, 12.293, 17.15],
    [6000, 13.208, 18.066],
    [8000, 14.069, 18.927],
    [10_000, 14.878, 19.736],
  ])('at %i ft 240 °F need %d psi and 250 °F %d (computed)', (feet, psi240, psi250) => {
    const need = (f: number) =>
      kilopascalsToPsi(gaugePressureFor(fahrenheitToCelsius(f), feetToMetres(feet), 1000).gaugePressureKpa);
    expect(Math.abs(need(240) - psi240)).toBeLessThan(0.01);
    expect(Math.abs(need(250) - psi250)).toBeLessThan(0.01);
  });

  // Collected trade values, derived from the standard atmosphere and an approximate
  // steam table, within 0.16 °C and 0.2 psi of the standard one.
  it.each([
    [0, 121.1, null],
    [1000, null, 15.5],
    [3000, 119.4, 16.5],
    [5000, 118.3, 17.5],
    [7000, 117.3, 18.4],
  ])('15 psi at %i ft give %d °C, and 121.1 °C need %d psi (derived)', (feet, c, psi) => {
    if (c !== null)
      expect(Math.abs(steamTemperatureC(psiToKilopascals(15), feetToMetres(feet)) - c)).toBeLessThan(0.16);
    const needed = gaugePressureFor(121.1, feetToMetres(feet), psiToKilopascals(30)).gaugePressureKpa;
    if (psi !== null) expect(Math.abs(kilopascalsToPsi(needed) - psi)).toBeLessThan(0.2);
  });

  it('never advises above the rating: it answers with the temperature the rated pressure gives', () => {
    const rated = psiToKilopascals(15);
    const high = gaugePressureFor(121.1, 1524, rated);
    expect(high).toMatchObject({ kind: 'above rating' });
    if (high.kind === 'above rating') expect(Math.abs(high.ratedTemperatureC - 118.3)).toBeLessThan(0.1);
    expect(gaugePressureFor(121.1, 0, psiToKilopascals(20)).kind).toBe('reachable');
    expect(gaugePressureFor(90, 0, rated)).toEqual({ kind: 'reachable', gaugePressureKpa: 0 });
    expect(() => steamTemperatureC(-1, 0)).toThrow('0 kPa or more');
  });
});

describe('lethality', () => {
  it.each([
    [90, 0.000776],
    [100, 0.007762],
    [105, 0.024547],
    [110, 0.077625],
    [111.1, 0.1],
    [112, 0.123027],
    [115, 0.245471],
    [116, 0.30903],
    [118, 0.489779],
    [120, 0.776247],
    [121, 0.977237],
    [122, 1.230269],
    [124, 1.949845],
    [126, 3.090295],
    [130, 7.762471],
    [134, 19.498446],
  ])('one minute at %d °C is worth %d at 121.1 °C (computed)', (c, rate) => {
    expect(Math.abs(lethalRate(c) - rate)).toBeLessThan(6e-7);
  });

  it('published: 110 °C against 121.11 is 0.077 (Stobo 1973, read); 15 min at 111 are 1.5 and at 124 29.9289 against 121 (read)', () => {
    expect(lethalRate(110, { temperatureC: 121.11, zC: 10 })).toBeCloseTo(0.077, 3);
    expect(15 * lethalRate(111, pharmacyReference)).toBeCloseTo(1.5, 9);
    expect(15 * lethalRate(124, pharmacyReference)).toBeCloseTo(29.9289, 4);
  });

  it('integrates a heating, a hold and a cooling exactly: 21.4638492526 minutes', () => {
    const trace: TracePoint[] = [
      { minute: 0, temperatureC: 100 },
      { minute: 21.1, temperatureC: 121.1 },
      { minute: 36.1, temperatureC: 121.1 },
      { minute: 46.65, temperatureC: 100 },
    ];
    expect(lethality(trace.slice(0, 2)).f0Min).toBeCloseTo(4.3092328351, 9);
    expect(lethality(trace).f0Min).toBeCloseTo(21.4638492526, 9);
    expect(lethality(trace)).toMatchObject({ highestC: 121.1, minutes: 46.65, longestGapMin: 21.1 });
  });

  it('on a coarse table lies below the trapezoid of rates, since the rate curves upward between points (own data)', () => {
    const table = [95, 103, 109, 113.5, 116.5, 118.6, 119.8, 120.5, 120.9, 121, 115, 105, 92];
    const trapezoid = table.slice(1).reduce((sum, c, i) => sum + lethalRate(c) + lethalRate(table[i]!), 0);
    expect(trapezoid).toBeCloseTo(9.9527400654, 8);
    const exact = lethality(table.map((temperatureC, i) => ({ minute: 2 * i, temperatureC }))).f0Min;
    expect(exact).toBeLessThan(trapezoid);
    expect(exact).toBeGreaterThan(0.9 * trapezoid);
  });

  it('is the same however finely a straight line is cut', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 60, max: 130, noNaN: true }),
        fc.double({ min: 60, max: 130, noNaN: true }),
        fc.integer({ min: 2, max: 40 }),
        (from, to, cuts) => {
          const cut = Array.from({ length: cuts + 1 }, (_, i) => ({
            minute: (30 * i) / cuts,
            temperatureC: from + ((to - from) * i) / cuts,
          }));
          const whole = [cut[0]!, cut[cuts]!];
          expect(relative(lethality(cut).f0Min, lethality(whole).f0Min)).toBeLessThan(1e-9);
        },
      ),
    );
  });

  it('names its reference: 121.0 and 121.1 differ by 2.3 %', () => {
    expect(lethalRate(118, pharmacyReference) / lethalRate(118, foodReference)).toBeCloseTo(1.0233, 4);
  });

  it('at 100 °C F0 = 1 takes 128.8 minutes (computed)', () => {
    expect(holdForLethality(1, 100, 0)).toBeCloseTo(128.8, 1);
    expect(lethalityOfHold({ holdMin: 128.825, temperatureC: 100, comeUpAllowanceMin: 0 })).toBeCloseTo(1, 4);
    expect(lethalityOfHold({ holdMin: 20, temperatureC: 121.1, comeUpAllowanceMin: 30 })).toBe(0);
  });

  it('D and z: 0.8555 at 115 °C, 12 D in 2.52 min; 235 and 270 °F with 10 and 0.1 min give z 17.5 °F = 9.7 °C (read)', () => {
    expect(decimalReductionMin(0.21, 121.1, 10, 115)).toBeCloseTo(0.8554986, 6);
    expect(12 * 0.21).toBeCloseTo(2.52, 9);
    const z = zFromTwo(10, fahrenheitToCelsius(235), 0.1, fahrenheitToCelsius(270));
    expect(z).toBeCloseTo(fahrenheitDifferenceToCelsius(17.5), 9);
    // A process twice as fast every 10 degrees has z = 10 / log10 2 (computed).
    expect(zFromTwo(2, 20, 1, 30)).toBeCloseTo(33.2192809, 6);
    expect(zFromTwo(10, 20, 1, 30)).toBeCloseTo(10, 9);
    expect(logReduction(60, 10)).toBe(6);
    expect(logReduction(0.6, 0.1)).toBeCloseTo(6, 9);
    expect(survivors(100, 12, 1.5)).toBeCloseTo(1e-6, 15);
    expect(spores.find(({ key }) => key === 'geobacillus-stearothermophilus')!.dMin).toMatchObject({ low: 1, high: 2 });
  });

  it('refuses a trace of one point, times that stand still, and temperatures that must be Fahrenheit', () => {
    const at = (minute: number, temperatureC: number) => ({ minute, temperatureC });
    expect(() => lethality([at(0, 121)])).toThrow('two points');
    expect(() => lethality([at(0, 121), at(0, 121)])).toThrow('not after minute 0');
    expect(() => lethality([at(5, 121), at(0, 121)])).toThrow('not after');
    expect(() => lethality([at(0, 100), at(5, 250)])).toThrow('Fahrenheit');
    expect(() => lethality([at(0, Number.NaN), at(5, 121)])).toThrow('Fahrenheit');
  });

  it('counts the minutes above a temperature with the crossings found', () => {
    const at = (minute: number, temperatureC: number) => ({ minute, temperatureC });
    expect(minutesAbove([at(0, 100), at(10, 120), at(30, 120), at(40, 100)], 110)).toBeCloseTo(30, 9);
    expect(minutesAbove([at(0, 90), at(10, 95)], 110)).toBe(0);
  });
});
