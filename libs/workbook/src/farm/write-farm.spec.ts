import { addDays, type CalendarDay, calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { jarRow, roomRow, runRow, sizeRow, strainRow } from '../examples/blank-rows.js';
import { exampleFarm } from '../examples/example-farm.js';
import { exampleKitchen } from '../examples/example-kitchen.js';
import { defaultLimits } from '../package/limits.js';
import { readCells } from '../package/read-cells.js';
import { describeProblem } from '../problem.js';
import { cleanText } from '../sheets/clean-text.js';
import type { FarmRows } from './farm-workbook.js';
import { type FarmWorkbook, readFarm } from './read-farm.js';
import { writeFarmWorkbook } from './write-farm.js';

const asOf = calendarDay('2026-11-25');

async function writtenAndRead(rows: FarmRows, day: CalendarDay = asOf): Promise<FarmWorkbook> {
  const reading = readFarm(await readCells(await writeFarmWorkbook(rows), defaultLimits), () => day);
  if (!reading.ok) throw new Error(reading.problems.map(describeProblem).join('\n'));
  return reading.farm;
}

/** Names as people paste them, and as attackers do; whatever a cell can keep and a person could tell apart. */
const someName = fc
  .oneof(
    fc.string({ minLength: 1, maxLength: 20 }),
    fc.string({ unit: 'grapheme', minLength: 1, maxLength: 12 }),
    fc.constantFrom('=1+1', '+A1', '-5 x', '@SUM(A1)', '1E5', 'MAR1', '00042', '_x0041_', "'quoted'", '<b>&amp;</b>'),
  )
  .map(cleanText)
  .filter(
    (name) =>
      /[\p{L}\p{N}]/u.test(name) && !/[,;]/.test(name) && !/^(n\/a|(sub|grand )?totals?|sums?|average)/i.test(name),
  );

const grams = fc.integer({ min: 1, max: 20_000 }).map((tenths) => tenths / 10);
const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });

const farms = fc
  .record({
    strains: fc.uniqueArray(someName, { minLength: 1, maxLength: 4, selector: (name) => name.toLowerCase() }),
    size: someName,
    codes: fc.uniqueArray(someName, { maxLength: 8, selector: (name) => name.toLowerCase() }),
    runs: fc.uniqueArray(someName, { maxLength: 4, selector: (name) => name.toLowerCase() }),
    ripeGrams: grams,
    loss: maybe(fc.integer({ min: 0, max: 950 }).map((tenths) => tenths / 1000)),
    wetKg: grams,
    back: fc.integer({ min: 0, max: 300 }),
    rate: maybe(fc.integer({ min: 1, max: 200 }).map((tenths) => tenths / 1000)),
    reserve: maybe(fc.nat(5)),
    chilled: maybe(fc.boolean()),
  })
  .map(
    (farm): FarmRows => ({
      farm: exampleKitchen(asOf).farm,
      strains: farm.strains.map((strain) =>
        strainRow({ strain, lossRate: farm.loss, motherReserve: farm.reserve, mayBeChilled: farm.chilled }),
      ),
      sizes: [sizeRow({ size: farm.size, volumeMl: 1000, ripeGrams: farm.ripeGrams })],
      jars: farm.codes.map((code, at) =>
        jarRow({
          code,
          strain: farm.strains[at % farm.strains.length] ?? null,
          generation: at % 4,
          size: farm.size,
          state: at % 2 === 0 ? 'ripe' : 'incubating',
          madeOn: addDays(asOf, -farm.back),
          gramsLeft: at % 3 === 0 ? farm.ripeGrams : null,
        }),
      ),
      runs: farm.runs.map((run, at) =>
        runRow({
          run,
          day: addDays(asOf, farm.back),
          strains: farm.strains.slice(0, at + 1),
          substrateWetKg: farm.wetKg,
          spawnRate: farm.rate,
        }),
      ),
      rooms: [roomRow({ room: 'Shelf', kind: 'incubation', places: 20 })],
    }),
  );

describe('a written farm workbook', () => {
  it('reads back as the same rows, whatever its names look like', async () => {
    await fc.assert(
      fc.asyncProperty(farms, async (rows) => {
        expect((await writtenAndRead(rows)).rows).toEqual(rows);
      }),
      { numRuns: 25 },
    );
  });

  it.each(['2026-11-25', '2026-12-31', '2027-01-01', '2028-02-29', '2026-03-29'])(
    'is planned on %s without a problem when it is an example written for it',
    async (text) => {
      const day = calendarDay(text);
      for (const rows of [exampleFarm(day), exampleKitchen(day)]) {
        expect((await writtenAndRead(rows, day)).rows).toEqual(rows);
      }
    },
  );

  it.each([-20, -7, -1, 1, 7, 20])('is an example also read %d days from the day it was written for', async (days) => {
    const { situation } = await writtenAndRead(exampleFarm(asOf), addDays(asOf, days));
    expect(situation.runs.length).toBeGreaterThan(15);
    expect(situation.stock.length).toBeGreaterThan(15);
  });
});
