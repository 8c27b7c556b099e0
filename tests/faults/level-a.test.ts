/**
 * Nothing lost, nothing doubled: twelve tablets of two farms over a network that loses, delays, repeats and reorders.
 * One number is one run. `node tests/faults/run.mjs --seeds 1..500` runs them at full size; a seed that ever failed
 * stays in the list below and is run at full size with every change.
 */
import { appendFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it, jest } from '@jest/globals';
import { createTestDatabase, type TestDatabase } from '../support/test-database.js';
import { PLANTED_BUGS } from './planted-bugs.js';
import { CONTROL_SIZE, FULL_SIZE, SHORT_SIZE, type Size, simulate } from './simulation.js';

jest.setTimeout(900_000);

/** Asked for from outside, as `1..20`; every change runs five short ones. */
const asked = /^(\d+)\.\.(\d+)$/.exec(process.env.JARFOLD_FAULT_SEEDS ?? '');
const seeds: readonly (readonly [number, Size])[] = asked
  ? Array.from({ length: Number(asked[2]) - Number(asked[1]) + 1 }, (_, at) => [Number(asked[1]) + at, FULL_SIZE])
  : [1, 2, 3, 4, 5].map((seed) => [seed, SHORT_SIZE]);

let database: TestDatabase;
beforeAll(async () => {
  database = await createTestDatabase({ maxConnections: 6 });
});
afterAll(() => database.close());

function keep(report: object): void {
  const file = process.env.JARFOLD_FAULT_REPORT;
  if (file) appendFileSync(file, `${JSON.stringify(report)}\n`);
}

describe('tablets and server', () => {
  it.each(seeds)('seed %i: nothing is lost, nothing is doubled, everything comes to rest', async (seed, size) => {
    const report = await simulate(seed, size, { database });
    keep(report);
    expect(report.breaches).toEqual([]);
    expect(report.acked).toBe(report.attempted);
    expect(report.faults).toBeGreaterThan(0);
  });
});

(asked ? describe.skip : describe)('a planted bug turns the run red', () => {
  it.each(PLANTED_BUGS)('$name', async (plant) => {
    const report = await simulate(1, CONTROL_SIZE, { plant, ...(plant.sql ? {} : { database }) });
    expect(report.breaches.filter((breach) => plant.breaks.test(breach))).not.toEqual([]);
  });
});
