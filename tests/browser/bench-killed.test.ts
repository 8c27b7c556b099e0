/**
 * Nothing lost, nothing doubled, when the battery is pulled: three browsers at the bench, killed with all their
 * processes. `npm run -s faults -- --level C --seeds 1..5` runs longer ones.
 */
import { appendFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it, jest } from '@jest/globals';
import { killBrowsers } from './support/killed-farm.js';
import { type ServedFarm, serveFarm } from './support/served-farm.js';
import { SAVED_TOO_SOON } from './support/told-saved.js';

jest.setTimeout(3_600_000);

const asked = process.env.JARFOLD_FAULT_LEVEL === 'C';
const seed = asked ? Number(/^(\d+)/.exec(process.env.JARFOLD_FAULT_SEEDS ?? '1')?.[1]) : 1;
const LONG = { stepsPerTablet: 40 };
const SHORT = { stepsPerTablet: 6 };
/** Enough for a planted defect to show. */
const SHORTEST = { stepsPerTablet: 4 };

let served: ServedFarm;
beforeAll(async () => {
  served = await serveFarm();
}, 240_000);
afterAll(() => served?.close());

it('what three killed browsers said was saved is in the log, once', async () => {
  const report = await killBrowsers(seed, asked ? LONG : SHORT, { served });
  const file = process.env.JARFOLD_FAULT_REPORT;
  if (file) appendFileSync(file, `${JSON.stringify(report)}\n`);
  expect(report.breaches).toEqual([]);
  expect(report.acked).toBe(report.attempted);
  expect(report.attempted).toBeGreaterThan(5);
  expect(report.kills.browser).toBeGreaterThan(2);
});

(asked ? it.skip : it)('a page that says "saved" before the tablet has stored it turns the run red', async () => {
  // Tablets that lost an entry never come to rest, so they are not given long to.
  const { breaches } = await killBrowsers(2, SHORTEST, { served, plant: SAVED_TOO_SOON, drainLimitMs: 2_000 });
  expect(breaches.filter((breach) => breach.startsWith('I3 '))).not.toEqual([]);
});
