import {
  badMotherFlags,
  balanceByState,
  calendarDay,
  causesSince,
  chilledSurvival,
  contaminationCauses,
  contaminationHazard,
  contaminationShift,
  cycleFlags,
  cycleVerdict,
  DomainError,
  demandForecast,
  findSpecies,
  heatMethods,
  kaplanMeier,
  type LotCell,
  lossByStrain,
  rateEstimate,
  rateOverTime,
  ratesByFactor,
  readTrace,
  ripeBetween,
  ripeningOfStrain,
  runOutcome,
  slowLotFlags,
  yieldOfStrain,
} from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';

/** What a farm's records are really like. Each answer is plain: never NaN, never a number more certain than its records. */
const oyster = findSpecies('oyster').profile;
const today = calendarDay('2026-11-25');
const published = () => ({ mean: 0.1, jars: 20 });

function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (value instanceof Map) return [...value.values()].flatMap(numbersIn);
  return value !== null && typeof value === 'object' ? Object.values(value).flatMap(numbersIn) : [];
}
const expectNumbers = (value: unknown) => expect(numbersIn(value).every(Number.isFinite)).toBe(true);

const lot = (id: number, over: Partial<LotCell> = {}): LotCell => ({
  ...{
    lotId: `${id}`,
    madeOn: calendarDay('2026-10-05'),
    blank: false,
    strainId: 's',
    grainBatchId: 'g',
    cycleId: 'c',
  },
  ...{ method: 'pressure', operatorId: 'p', motherId: 'm', roomId: 'r', jars: 8, contaminated: 0, lost: 0, settled: 8 },
  ...over,
});

/** Everything the farm is told of its lots. */
function everythingOf(cells: readonly LotCell[]) {
  const overTime = rateOverTime(cells, 'week');
  return {
    overTime,
    causes: contaminationCauses(cells),
    mothers: ratesByFactor(cells, 'mother', published),
    losses: lossByStrain(cells, published),
    since: causesSince(cells, calendarDay('2026-10-01')),
    shift: contaminationShift(overTime, today),
  };
}

describe('records as they are', () => {
  it('no jars at all: not enough data everywhere, and no flag', () => {
    const told = everythingOf([]);
    expectNumbers(told);
    expect(told.overTime.chart).toMatchObject({ kind: 'not enough data' });
    expect(told.causes).toMatchObject({ kind: 'not enough data' });
    expect([told.mothers.rates, told.shift, badMotherFlags([], today)]).toEqual([[], null, []]);
    expect(told.since).toMatchObject({ kind: 'not enough data' });
    expect(rateEstimate(0, 0)).toMatchObject({ kind: 'not enough data' });
    expect(contaminationHazard([])).toMatchObject({ kind: 'not enough data' });
    expect(kaplanMeier([])).toMatchObject({ kind: 'not enough data' });
    expect(demandForecast([], 4)).toMatchObject({ kind: 'not enough data' });
    expect(balanceByState([])).toMatchObject({ jars: 0, unaccountedG: 0, byState: [] });
    expect(ripeningOfStrain([], 14, oyster)).toMatchObject({ jars: 0, all: { ownShare: 0 } });
  });

  it('a lot of zero jars counts for nothing', () => {
    const told = everythingOf([lot(1, { jars: 0, settled: 0 }), lot(2, { jars: 0, settled: 0 })]);
    expectNumbers(told);
    expect(told.causes).toMatchObject({ kind: 'not enough data' });
  });

  it('every jar contaminated: no cause is named, and the rate keeps its doubt', () => {
    const told = everythingOf(Array.from({ length: 30 }, (_, i) => lot(i, { contaminated: 8, lost: 8 })));
    expectNumbers(told);
    expect(told.overTime.chart).toMatchObject({ kind: 'not enough data' });
    expect(told.causes).toMatchObject({ kind: 'not enough data' });
    expect(told.losses.get('s')!.high).toBeLessThan(1);
  });

  it('one lot: a rate with a wide interval, drawn toward what is published, and no cause', () => {
    const told = everythingOf([lot(1, { contaminated: 8, lost: 8 })]);
    expectNumbers(told);
    expect(told.causes).toMatchObject({ kind: 'not enough data' });
    const [rate] = told.mothers.rates;
    expect(rate!.shrunk.value).toBeLessThan(0.5);
    expect(rate!.shrunk.high - rate!.shrunk.low).toBeGreaterThan(0.2);
  });

  it('missing temperatures: ripening is told for the room as it is, a cycle without a gauge is not judged', () => {
    const seen = { strainId: 's', generation: 2, roomId: 'r', temperatureC: null, afterDays: 12, byDays: 15, jars: 40 };
    const ripening = ripeningOfStrain([seen], 14, oyster);
    expectNumbers(ripening);
    expect(ripening).toMatchObject({ jars: 40, leftOut: 0 });
    const method = heatMethods.find(({ key }) => key === 'pressure')!;
    const record = {
      ...{ method, altitudeM: 0, declaredHoldMin: 60, trace: null, holdMin: null, gaugePressureKpa: null },
      ...{ comeUpAllowanceMin: 0, interrupted: false },
    };
    expect(cycleVerdict(record)).toMatchObject({ kind: 'not enough data', f0Min: null, holdForTargetMin: null });
    expect(cycleFlags([{ code: 'C1', endedOn: today, record }])).toEqual([]);
    expect(
      slowLotFlags(
        [{ code: 'L', strainId: 'unknown', madeOn: today, unripeAtDays: 90, unripe: 8, ripe: 0 }],
        new Map(),
      ),
    ).toEqual([]);
  });

  it('checks out of order are put in order; ripe before unripe is a contradiction and left out', () => {
    const inOrder = ripeBetween([
      { days: 9, ripe: false },
      { days: 15, ripe: true },
      { days: 12, ripe: false },
    ]);
    expect(inOrder).toMatchObject({ kind: 'between', afterDays: 12, byDays: 15 });
    expect(
      ripeBetween([
        { days: 15, ripe: false },
        { days: 9, ripe: true },
      ]),
    ).toMatchObject({ kind: 'contradiction' });
    const seen = { strainId: 's', generation: 2, roomId: null, temperatureC: null, jars: 4 };
    expect(ripeningOfStrain([{ ...seen, afterDays: 15, byDays: 9 }], 14, oyster)).toMatchObject({
      jars: 0,
      leftOut: 4,
    });
  });

  it('clocks that jumped: a look or a finding before the inoculation is refused or left out, a run harvested before it was spawned tells nothing', () => {
    expect(() => ripeBetween([{ days: -3, ripe: true }])).toThrow(DomainError);
    expect(() => contaminationHazard([{ days: -2, contaminated: true }])).toThrow(DomainError);
    expect(() => chilledSurvival([{ daysChilled: -1, regrew: true }], 60)).toThrow(DomainError);
    const run = {
      ...{ runId: 'r', strainId: 's', spawnedOn: today, substrateWetG: 20_000, substrateMoisture: null, spawnG: 1000 },
      pickings: [{ day: calendarDay('2026-11-01'), flush: 1, massG: 900 }],
    };
    const outcome = runOutcome(run, oyster, today);
    expect(outcome).toMatchObject({ yield: null, finished: false });
    const told = yieldOfStrain([outcome], new Map([['r', run]]), oyster);
    expectNumbers(told);
    expect(told).toMatchObject({ efficiency: null, finishedRuns: 0, freshG: 0 });
  });

  it('a trace with a gap is judged a departure, in Fahrenheit it is converted, without a unit it is asked for', () => {
    const method = heatMethods.find(({ key }) => key === 'pressure')!;
    const judged = (trace: readonly { minute: number; temperatureC: number }[]) =>
      cycleVerdict({
        ...{ method, altitudeM: 0, declaredHoldMin: 60, trace, holdMin: null, gaugePressureKpa: null },
        ...{ comeUpAllowanceMin: 0, interrupted: false },
      });
    const gap = judged([
      { minute: 0, temperatureC: 121.5 },
      { minute: 90, temperatureC: 121.5 },
    ]);
    expect(gap).toMatchObject({ kind: 'departs', departures: ['gaps in the trace'] });
    const fahrenheit = readTrace('minute,temp_f\n0,212\n10,250\n', null);
    expect(fahrenheit).toMatchObject({ kind: 'trace', unit: 'F' });
    if (fahrenheit.kind === 'trace') expect(fahrenheit.points[1]!.temperatureC).toBeCloseTo(121.11, 2);
    expect(readTrace('0,100\n10,121\n', null)).toMatchObject({ kind: 'refused', problems: [{ code: 'unit needed' }] });
    const wrong = readTrace('0,212\n10,250\n', 'C');
    expect(wrong).toMatchObject({
      kind: 'refused',
      problems: expect.arrayContaining([expect.objectContaining({ line: 1 })]),
    });
  });
});
