import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import {
  convertSpawnRate,
  expansionChain,
  spawnForRun,
  spawnRateBases,
  substrateWetG,
  usualMoistures,
} from './index.js';

const share = fc.double({ min: 0.01, max: 0.3, noNaN: true });
const moisture = fc.double({ min: 0, max: 0.9, noNaN: true });

describe('spawn for a run', () => {
  it('asks for the same spawn whatever basis the rate is told on', () => {
    fc.assert(
      fc.property(
        share,
        moisture,
        moisture,
        fc.constantFrom(...spawnRateBases),
        (rate, substrateMoisture, spawnMoisture, basis) => {
          const moistures = { substrateMoisture, spawnMoisture };
          const other = convertSpawnRate(rate, 'wet/wet', basis, moistures);
          fc.pre(other <= 1);
          expect(convertSpawnRate(other, basis, 'wet/wet', moistures)).toBeCloseTo(rate, 12);
        },
      ),
    );
  });

  it('never rounds the least above the target or the most below it', () => {
    fc.assert(
      fc.property(
        share,
        fc.double({ min: 1, max: 1e6, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (spawnRate, wetG, minShare) => {
          const run = spawnForRun({
            substrateWetG: wetG,
            spawnRate,
            basis: 'wet/wet',
            minShare,
            maxShare: 1,
            moistures: usualMoistures,
          });
          expect(run.minG).toBeLessThanOrEqual(run.targetG);
          expect(run.maxG).toBeGreaterThanOrEqual(run.targetG);
        },
      ),
    );
  });

  it('does not pay a gram for the last digit of a float', () => {
    const run = spawnForRun({
      substrateWetG: 110_000,
      spawnRate: 0.07,
      basis: 'wet/wet',
      minShare: 1,
      maxShare: 1.1,
      moistures: usualMoistures,
    });
    expect(run).toMatchObject({ minG: 7700, targetG: 7700, maxG: 8470 });
    expect(run.substrateDryG).toBeCloseTo(38_500, 6);
    expect(substrateWetG(38_500, 0.65)).toBeCloseTo(110_000, 6);
  });

  it('refuses a rate given in percent, a run of nothing and moistures of one', () => {
    const run = {
      substrateWetG: 1000,
      spawnRate: 5,
      basis: 'wet/wet',
      minShare: 1,
      maxShare: 1,
      moistures: usualMoistures,
    } as const;
    expect(() => spawnForRun(run)).toThrow('5 % is 0.05');
    expect(() => spawnForRun({ ...run, spawnRate: 0.05, substrateWetG: 0 })).toThrow('more than 0 g');
    expect(() => spawnForRun({ ...run, spawnRate: 0.05, minShare: 1.1 })).toThrow('least share');
    expect(() =>
      spawnForRun({ ...run, spawnRate: 0.05, moistures: { substrateMoisture: 1, spawnMoisture: 0.5 } }),
    ).toThrow('below 1');
  });

  it('rounds up at every level of an expansion', () => {
    expect(expansionChain(121, [10, 10])).toEqual([2, 13, 121]);
    expect(expansionChain(0, [10])).toEqual([0, 0]);
    expect(() => expansionChain(1.5, [10])).toThrow('whole containers');
    expect(() => expansionChain(10, [0])).toThrow('above 0');
  });
});
