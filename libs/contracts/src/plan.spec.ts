import { calendarDay, type SpawnPlan } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { z } from 'zod';
import { planJsonSchema, planToJson } from './plan.js';

const day = calendarDay;

const plan: SpawnPlan = {
  asOf: day('2026-11-25'),
  starts: [
    {
      id: 'S1',
      benchDay: day('2026-11-26'),
      strainId: 'blue',
      generation: 2,
      sizeId: 'litre',
      containers: 4,
      mothers: [{ code: 'BL-26W46-1/01', grams: 80 }],
      feeds: [{ run: 'R1', grams: 2000 }],
      mothersLaterGrams: 0,
      reserveGrams: 300,
      ripeOn: day('2026-12-10'),
      lastSafeDay: day('2026-11-30'),
    },
  ],
  preparations: [
    {
      day: day('2026-11-25'),
      benchDay: day('2026-11-26'),
      cycles: 1,
      containers: [{ sizeId: 'litre', count: 4 }],
    },
  ],
  cultures: [{ id: 'C1', strainId: 'blue', orderBy: day('2026-12-01'), readyOn: day('2026-12-10'), units: 1 }],
  moves: [{ day: day('2026-11-27'), kind: 'chill', from: 'BL-26W45-1/02', containers: 1 }],
  uses: [
    {
      day: day('2026-12-12'),
      from: 'S1',
      grams: 2000,
      to: { kind: 'run', run: 'R1' },
      cold: false,
      opened: 4,
      openedOn: day('2026-12-12'),
    },
    {
      day: day('2026-11-26'),
      from: 'BL-26W46-1/01',
      grams: 80,
      to: { kind: 'start', start: 'S1' },
      cold: false,
      opened: 1,
      openedOn: day('2026-11-26'),
    },
  ],
  runs: [
    {
      run: 'R1',
      day: day('2026-12-12'),
      strainId: 'blue',
      minGrams: 2000,
      targetGrams: 2500,
      coveredGrams: 2000,
      probability: null,
      limit: { kind: 'steriliser', where: '2026-11-25', message: 'The vessel is full on 2026-11-25.' },
    },
  ],
  stranded: [{ code: 'BL-26W40-1/01', grams: 500, expires: day('2026-11-28') }],
  discards: [{ day: day('2026-11-28'), from: 'BL-26W40-1/01', containers: 1, grams: 500 }],
  reserveGaps: [{ strainId: 'blue', from: day('2026-12-01'), until: day('2026-12-10'), missing: 1 }],
  impossible: [{ code: 'run-before-today', subject: 'R0', message: 'Run R0 lies before today.' }],
  cost: 12,
  costParts: {
    containers: 6,
    cycles: 3,
    cultures: 0,
    chilling: 0.5,
    agedOut: 1.5,
    short: 0,
    belowTarget: 1,
    generation: 0,
    age: 0,
    secondChoice: 0,
    mothersMissing: 0,
  },
  bound: 11,
  gap: 1 / 12,
  exact: false,
};

describe('the plan as JSON', () => {
  const json = planToJson(plan, 31);

  it('satisfies its own schema, field for field', () => {
    expect(planJsonSchema.parse(json)).toEqual(json);
  });

  it('names a start by strain and size, and says what it feeds', () => {
    expect(json.starts[0]).toMatchObject({ strain: 'blue', size: 'litre', feeds: [{ run: 'R1', grams: 2000 }] });
    expect(json.starts[0]).not.toHaveProperty('strainId');
  });

  it('lists grams into runs as uses and grams into new containers as mothers', () => {
    expect(json.uses).toEqual([{ day: '2026-12-12', from: 'S1', run: 'R1', grams: 2000, cold: false, opened: 4 }]);
    expect(json.starts[0]?.mothers).toEqual([{ code: 'BL-26W46-1/01', grams: 80 }]);
  });

  it('gives the limit by kind, with where it binds and a sentence beside it', () => {
    expect(json.runs[0]).toMatchObject({ limit: 'steriliser', limitWhere: '2026-11-25', probability: null });
  });

  it('refuses a day that does not exist', () => {
    expect(planJsonSchema.safeParse({ ...json, asOf: '2026-02-30' }).success).toBe(false);
  });

  it('can be published as a JSON schema', () => {
    const published = JSON.parse(JSON.stringify(z.toJSONSchema(planJsonSchema)));
    expect(Object.keys(published.$defs.Plan.properties)).toEqual(
      expect.arrayContaining(['asOf', 'starts', 'uses', 'runs', 'stranded', 'cost', 'bound', 'solveMs']),
    );
  });
});
