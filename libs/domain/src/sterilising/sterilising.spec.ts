import { describe, expect, it } from '@jest/globals';
import { psiToKilopascals } from '../units/index.js';
import {
  boilingPointC,
  type CycleRecord,
  cycleVerdict,
  heatMethods,
  lethality,
  pressureHoldMin,
  readTrace,
} from './index.js';

const method = (key: string) => heatMethods.find((each) => each.key === key)!;
const at = (minute: number, temperatureC: number) => ({ minute, temperatureC });
const pressure: CycleRecord = {
  method: method('pressure'),
  altitudeM: 0,
  declaredHoldMin: 60,
  trace: null,
  holdMin: 60,
  gaugePressureKpa: psiToKilopascals(15.2),
  comeUpAllowanceMin: 20,
  interrupted: false,
};
const boiling: CycleRecord = {
  ...pressure,
  method: method('boiling_water_steam'),
  gaugePressureKpa: null,
  comeUpAllowanceMin: 10,
};

describe('the verdict on a cycle', () => {
  it('has nothing to say of a pressure cycle held as declared', () => {
    expect(cycleVerdict(pressure)).toMatchObject({ kind: 'as the method asks', departures: [], from: 'hold' });
    expect(cycleVerdict(pressure).f0Min).toBeGreaterThan(38);
  });

  it('does not warn a boiling-water farm of every load, high up or low down', () => {
    for (const altitudeM of [0, 1500, 3000])
      expect(cycleVerdict({ ...boiling, altitudeM })).toMatchObject({
        kind: 'as the method asks',
        advice: [],
        holdForTargetMin: null,
      });
  });

  it('calls a short hold, a lost boil, a cold load and heat below the method’s own target', () => {
    expect(cycleVerdict({ ...boiling, holdMin: 30 }).departures).toEqual(['short hold']);
    expect(cycleVerdict({ ...boiling, interrupted: true }).departures).toEqual(['interrupted']);
    expect(cycleVerdict({ ...pressure, gaugePressureKpa: psiToKilopascals(10) }).departures).toEqual([
      'too cold',
      'below target',
    ]);
    expect(cycleVerdict({ ...pressure, holdMin: 30 }).departures).toEqual(['short hold', 'below target']);
  });

  it('at altitude asks for time, never for pressure above the gauge', () => {
    const high = cycleVerdict({ ...pressure, altitudeM: 2000, gaugePressureKpa: psiToKilopascals(15) });
    expect(high.departures).toContain('too cold');
    expect(high.advice.join(' ')).toContain('Never press the vessel above its rating');
    expect(high.holdForTargetMin).toBeGreaterThan(cycleVerdict(pressure).holdForTargetMin!);
  });

  it('measures a trace in place of the log, and calls its gaps', () => {
    const trace = [
      at(0, 20),
      at(9, 95),
      at(18, 121.3),
      at(27, 121.4),
      at(36, 121.3),
      at(45, 121.4),
      at(54, 121.4),
      at(63, 121.4),
      at(72, 121.4),
      at(81, 121.3),
      at(90, 90),
    ];
    const good = cycleVerdict({ ...pressure, trace, holdMin: null, gaugePressureKpa: null });
    expect(good).toMatchObject({ kind: 'as the method asks', from: 'trace' });
    expect(good.f0Min).toBeCloseTo(lethality(trace).f0Min, 12);
    const gap = [at(0, 20), at(18, 121.3), at(81, 121.4), at(90, 90)];
    expect(cycleVerdict({ ...pressure, trace: gap }).departures).toEqual(['gaps in the trace']);
  });

  it('says "not enough data" when neither hold nor trace is known, and judges a lost boil all the same', () => {
    expect(cycleVerdict({ ...boiling, holdMin: null })).toMatchObject({
      kind: 'not enough data',
      f0Min: null,
      from: null,
    });
    expect(cycleVerdict({ ...pressure, gaugePressureKpa: null })).toMatchObject({
      kind: 'not enough data',
      f0Min: null,
    });
    expect(cycleVerdict({ ...boiling, holdMin: null, interrupted: true }).kind).toBe('departs');
  });

  it('tells once what each method does and does not achieve, and boiling claims no sterility', () => {
    for (const { achieves, f0TargetMin, key } of heatMethods) {
      expect(achieves.length).toBeGreaterThan(40);
      expect(f0TargetMin === null).toBe(key !== 'pressure');
    }
    expect(boilingPointC(0)).toBeCloseTo(99.97, 2);
  });

  it('knows the published hold for each size of jar (GGMM p. 131)', () => {
    expect([500, 1000, 1900, 3785, 12_500].map((ml) => pressureHoldMin(ml).value)).toEqual([60, 60, 90, 120, 240]);
    expect(() => pressureHoldMin(0)).toThrow('0 ml');
    expect(() => pressureHoldMin(20_000)).toThrow('no published hold');
  });
});

describe('reading a logger’s file', () => {
  it('reads minutes and Celsius, whatever separates them', () => {
    for (const text of [
      'minute,temp °C\n0,20\n5,95.5',
      'min;temp_c\r\n0;20\r\n5;95,5\r\n',
      'min\tdeg C\n0\t20\n5\t95.5',
    ])
      expect(readTrace(text, null)).toMatchObject({ kind: 'trace', points: [at(0, 20), at(5, 95.5)] });
  });

  it('turns Fahrenheit into Celsius when it is said so', () => {
    expect(readTrace('time,Temperature (°F)\n0,212\n10,250', null)).toEqual({
      ...{ kind: 'trace', unit: 'F' },
      points: [at(0, 100), at(10, (250 - 32) / 1.8)],
    });
    const declared = readTrace('0,212\n10,212', 'F');
    expect(declared.kind === 'trace' && declared.points[1]!.temperatureC).toBeCloseTo(100, 9);
  });

  it('asks for the unit and never guesses it', () => {
    expect(readTrace('0,20\n5,95', null)).toMatchObject({
      kind: 'refused',
      problems: [{ line: null, code: 'unit needed' }],
    });
    expect(readTrace('min,°C or °F\n0,20\n5,95', null)).toMatchObject({
      kind: 'refused',
      problems: [{ code: 'unit needed' }],
    });
  });

  it('counts clock times on past midnight', () => {
    expect(readTrace('t,°C\n23:50,100\n00:05:30,100', null)).toEqual({
      ...{ kind: 'trace', unit: 'C' },
      points: [at(0, 100), at(15.5, 100)],
    });
  });

  it('names every bad line in one pass', () => {
    const read = readTrace('t;°C\n0;20\nx;30\n5;hot\n4;40\n9;400', null);
    expect(read.kind === 'refused' && read.problems.map(({ line, code }) => [line, code])).toEqual([
      [3, 'not a time'],
      [4, 'not a temperature'],
      [6, 'not plausible'],
    ]);
    expect(readTrace('t;°C\n10;20\n5;30', null)).toMatchObject({ problems: [{ line: 3, code: 'out of order' }] });
    expect(readTrace('', 'C')).toMatchObject({ kind: 'refused', problems: [{ code: 'too short' }] });
    expect(readTrace('t;°C\n25:10;30\n26:00;31', null)).toMatchObject({ kind: 'refused' });
  });
});
