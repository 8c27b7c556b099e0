import type { PlanChangesJson } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { nearStarts, tellingRuns } from './telling-changes.js';

type Stands = PlanChangesJson['runs'][number]['now'];

const stands = (probability: number | null, day = '2026-12-08', coveredGrams = 5000): Stands => ({
  day: calendarDay(day),
  coveredGrams,
  probability,
});
const names = (runs: readonly { readonly run: string }[]) => runs.map(({ run }) => run);

describe('tellingRuns', () => {
  it('puts runs that go, move or change their chance first, the greatest loss at the top', () => {
    const { first, rest } = tellingRuns([
      { run: 'other grams', before: stands(0.9), now: stands(0.9, '2026-12-08', 6000) },
      { run: 'better', before: stands(0.5), now: stands(0.9) },
      { run: 'a hair less', before: stands(0.9), now: stands(0.86) },
      { run: 'moved', before: stands(0.9), now: stands(0.9, '2026-12-15') },
      { run: 'gone', before: stands(0.9), now: null },
      { run: 'worse', before: stands(0.9), now: stands(0.6) },
    ]);
    expect(names(first)).toEqual(['gone', 'worse', 'moved', 'better']);
    expect(names(rest)).toEqual(['other grams', 'a hair less']);
  });
});

describe('nearStarts', () => {
  const start = (benchDay: string) => ({
    ...{ strain: 'OY3', generation: 2, size: 'Litre', before: 1, now: 2 },
    benchDay: calendarDay(benchDay),
  });

  it('parts the two weeks from the first change on from what lies further', () => {
    const { first, rest } = nearStarts(['2026-12-04', '2026-12-17', '2026-12-18', '2027-01-05'].map(start));
    expect(first.map(({ benchDay }) => benchDay)).toEqual(['2026-12-04', '2026-12-17']);
    expect(rest.map(({ benchDay }) => benchDay)).toEqual(['2026-12-18', '2027-01-05']);
    expect(nearStarts([])).toEqual({ first: [], rest: [] });
  });
});
