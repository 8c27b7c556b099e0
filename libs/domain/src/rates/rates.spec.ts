import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { findSpecies } from '../species/find-species.js';
import {
  causesSince,
  contaminationCauses,
  type LotCell,
  lossByStrain,
  lossForPlan,
  rateOverTime,
  ratesByFactor,
  ripeDaysForPlan,
  ripeningOfStrain,
  settledCells,
  survivalWhenClean,
} from './index.js';

const oyster = findSpecies('oyster').profile;
const published = () => ({ mean: 0.1, jars: 20 });

const cell = (over: Partial<LotCell> = {}): LotCell => ({
  ...{ lotId: 'a', madeOn: calendarDay('2026-11-01'), blank: false, strainId: 's', grainBatchId: null, cycleId: null },
  ...{ method: null, operatorId: 'p', motherId: null, roomId: null, jars: 8, contaminated: 1, lost: 1, settled: 8 },
  ...over,
});

describe('what must not be named', () => {
  it('is nobody’s cause: neither of a year nor since a day, though that person’s jars are far the worst', () => {
    const cells = Array.from({ length: 60 }, (_, i) =>
      cell({
        lotId: `${i}`,
        operatorId: i % 3 === 0 ? 'p' : 'q',
        contaminated: i % 3 === 0 ? 5 : 1,
        strainId: `s${i % 2}`,
      }),
    );
    const since = calendarDay('2026-01-01');
    const levelsOf = (found: ReturnType<typeof contaminationCauses>) =>
      found.kind === 'attribution' ? [...found.causes.flatMap(({ members }) => members), ...found.levels] : [];
    const people = (found: ReturnType<typeof contaminationCauses>) =>
      levelsOf(found).filter(({ factor }) => factor === 'operator');
    const nobody = (factor: string) => factor !== 'operator';
    expect(people(contaminationCauses(cells, nobody))).toEqual([]);
    expect(people(causesSince(cells, since, nobody))).toEqual([]);
    expect(people(contaminationCauses(cells))[0]).toMatchObject({ level: 'p' });
  });
});

describe('which lots count', () => {
  it('are those two weeks old, whatever is known of their jars, so that lots lost as a whole do not count first', () => {
    const cells = [
      cell({ lotId: 'young', contaminated: 8, lost: 8, madeOn: calendarDay('2026-11-20') }),
      cell({ lotId: 'old', madeOn: calendarDay('2026-11-11') }),
    ];
    expect(settledCells(cells, calendarDay('2026-11-25')).map(({ lotId }) => lotId)).toEqual(['old']);
  });
});

describe('rates by a factor', () => {
  it('leave out blanks and unknown levels, and draw few jars toward the published start', () => {
    const { from, rates } = ratesByFactor(
      [cell({ motherId: 'm', contaminated: 8 }), cell({ blank: true, motherId: 'm' }), cell({ motherId: null })],
      'mother',
      published,
    );
    expect(from).toBe('published');
    expect(rates).toMatchObject([{ key: 'm', hits: 8, n: 8, lots: 1 }]);
    // Beta(2 + 8, 18 + 0): mean 10/28.
    expect(rates[0]!.shrunk.value).toBeCloseTo(10 / 28, 9);
  });
});

describe('the rate over time', () => {
  const weeks = (bad: readonly number[]) =>
    bad.map((contaminated, i) =>
      cell({
        lotId: `${i}`,
        jars: 40,
        contaminated,
        madeOn: calendarDay(`2026-0${1 + Math.floor(i / 4)}-${String(1 + 7 * (i % 4)).padStart(2, '0')}`),
      }),
    );

  it('signals a week that chance does not explain, judged against the weeks before it', () => {
    const { signals } = rateOverTime(weeks([3, 4, 5, 3, 4, 4, 5, 3, 4, 5, 4, 3, 4, 5, 4, 19]), 'week');
    expect(signals.map(({ side }) => side)).toContain('above');
    expect(signals[0]!.sentence).toContain('19 of 40');
  });

  it('is silent while nothing changes, and says when there are too few weeks', () => {
    expect(rateOverTime(weeks([3, 4, 5, 3, 4, 4, 5, 3, 4, 5, 4, 3]), 'week').signals).toEqual([]);
    expect(rateOverTime(weeks([3, 4]), 'week').chart.kind).toBe('not enough data');
    expect(rateOverTime([], 'week').chart.kind).toBe('not enough data');
  });
});

describe('what a plan is made with', () => {
  it('is the published loss without jars, the farm’s own with many, and always the farm’s own word', () => {
    const learn = (lost: number, jars: number) =>
      lossByStrain([cell({ lost, jars, contaminated: lost })], published).get('s') ?? null;
    expect(lossForPlan(null, null, 0.1)).toMatchObject({ value: 0.1, origin: 'species', n: 0 });
    expect(lossForPlan(null, learn(300, 1000), 0.1)).toMatchObject({ value: 0.3, origin: 'learned', n: 1000 });
    expect(lossForPlan(0.07, learn(300, 1000), 0.1)).toMatchObject({ value: 0.07, origin: 'farm' });
  });

  it('is the days its own jars take, rounded up', () => {
    const seen = { strainId: 's', generation: 2, roomId: 'r', temperatureC: 24, jars: 200 };
    const ripening = ripeningOfStrain([{ ...seen, afterDays: 19, byDays: 21 }], 14, oyster);
    expect(ripeDaysForPlan(null, ripening, 14)).toMatchObject({ origin: 'learned', n: 200 });
    expect([20, 21]).toContain(ripeDaysForPlan(null, ripening, 14).value);
    expect(ripeDaysForPlan(null, ripeningOfStrain([], 14, oyster), 14)).toMatchObject({ value: 14, origin: 'species' });
  });

  it('leaves out looks from before the inoculation, and ripe before unripe', () => {
    const seen = { strainId: 's', generation: 2, roomId: null, temperatureC: null, jars: 3 };
    const ripening = ripeningOfStrain(
      [
        { ...seen, afterDays: -2, byDays: 9 },
        { ...seen, afterDays: 12, byDays: 9 },
        { ...seen, afterDays: 9, byDays: 12 },
      ],
      14,
      oyster,
    );
    expect(ripening).toMatchObject({ jars: 3, leftOut: 6 });
  });
});

describe('a growing jar seen clean', () => {
  it('has the whole loss before it on day 0, half of it half way, and none when it should be ripe', () => {
    expect(survivalWhenClean(0.19, 0, 14, null)).toBeCloseTo(0.81, 12);
    expect(survivalWhenClean(0.19, 7, 14, null)).toBeCloseTo(0.9, 12);
    expect(survivalWhenClean(0.19, 20, 14, null)).toBe(1);
  });

  it('has little before it after the days on which this farm’s jars spoil', () => {
    const estimate = { kind: 'estimate', value: 0, low: 0, high: 1, level: 0.95, n: 1 } as const;
    const band = (fromDay: number, toDay: number, contaminated: number) => ({
      ...{ fromDay, toDay, contaminated, jarDays: 1000, perJarDay: estimate, contaminatedByEnd: 0 },
    });
    const hazard = {
      kind: 'hazard',
      n: 500,
      contaminated: 50,
      bands: [band(0, 4, 0), band(4, 8, 48), band(8, 28, 2)],
    } as const;
    expect(survivalWhenClean(0.2, 4, 14, hazard)).toBeCloseTo(0.8, 9);
    expect(survivalWhenClean(0.2, 8, 14, hazard)).toBeGreaterThan(0.98);
  });

  it('refuses what is no loss and no day', () => {
    expect(() => survivalWhenClean(1, 0, 14, null)).toThrow('below 1');
    expect(() => survivalWhenClean(0.1, -1, 14, null)).toThrow('0 or more');
  });
});
