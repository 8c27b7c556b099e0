import { describe, expect, it } from '@jest/globals';
import { findSpecies } from '../species/index.js';
import { bearingOf, harvestAhead } from './bearing.js';
import { harvestForecast } from './harvest-forecast.js';
import { runYield } from './run-yield.js';

const { profile } = findSpecies('pleurotus-ostreatus');
const { cropping } = profile;

/** Dry 10 kg spawned on day 0: 4 kg on day 20, 2 kg on day 32. */
const borne = (scale = 1) =>
  runYield(
    [
      { day: 20, flush: 1, freshG: 4000 * scale, saleableG: null },
      { day: 32, flush: 2, freshG: 2000 * scale, saleableG: null },
    ],
    10_000,
    0,
  );

describe('bearingOf', () => {
  it('without runs is what is published, with a wide interval', () => {
    const bearing = bearingOf([], profile);
    expect(bearing).toMatchObject({ runs: 0, daysBetweenFlushes: cropping.daysBetweenFlushes.value });
    expect(bearing.efficiency.value).toBeCloseTo(cropping.biologicalEfficiency.value, 12);
    expect(bearing.efficiency.high - bearing.efficiency.low).toBeGreaterThan(0.5);
    expect(bearing.shares.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
  });

  it('with many runs is the farm’s own', () => {
    const bearing = bearingOf(
      Array.from({ length: 40 }, () => borne()),
      profile,
    );
    expect(bearing.efficiency.value).toBeCloseTo(0.6, 1);
    expect(bearing.efficiency.high - bearing.efficiency.low).toBeLessThan(0.1);
    expect(bearing.daysToFirstHarvest).toBeCloseTo(20, 0);
    expect(bearing.daysBetweenFlushes).toBeCloseTo(12, 0);
    expect(bearing.shares[0]).toBeCloseTo(2 / 3, 1);
  });
});

describe('harvestAhead', () => {
  const bearing = bearingOf([borne(), borne(1.1), borne(0.9)], profile);
  const run = { id: 'run', spawnedOnDay: 0, substrateDryG: 10_000, picked: [] };
  const expected = (picked: { flush: number; firstDay: number }[], today: number) => {
    const ahead = harvestAhead({ ...run, picked }, bearing, today);
    if (ahead === null) return 0;
    return harvestForecast([ahead], today - 70, 40).reduce((sum, { expectedG }) => sum + expectedG, 0);
  };

  it('expects all of a run that was not picked, and of one under way only the flushes left', () => {
    const all = 10_000 * bearing.efficiency.value;
    expect(expected([], 5)).toBeCloseTo(all, -2);
    expect(expected([{ flush: 1, firstDay: 21 }], 25)).toBeCloseTo(all * (1 - bearing.shares[0]!), -2);
    expect(harvestAhead({ ...run, picked: [{ flush: bearing.shares.length, firstDay: 60 }] }, bearing, 61)).toBeNull();
  });

  it('expects a late flush from today on, not in the past', () => {
    const ahead = harvestAhead(run, bearing, 90)!;
    expect(ahead.spawnedOnDay + ahead.daysToFirstHarvest).toBe(90);
  });
});
