import { describe, expect, it } from '@jest/globals';
import { minutesAbove } from './cycle-verdict.js';
import { holdSpans } from './hold-spans.js';

const at = (...pairs: readonly (readonly [number, number])[]) =>
  pairs.map(([minute, temperatureC]) => ({ minute, temperatureC }));

describe('where a trace is hot', () => {
  it('is one stretch between the crossings, found on straight lines', () => {
    expect(holdSpans(at([0, 101], [10, 121], [50, 121], [60, 101]), 111)).toEqual([{ fromMin: 5, toMin: 55 }]);
  });

  it('falls apart where the heat was lost', () => {
    const lost = at([0, 121], [20, 121], [30, 101], [40, 121], [60, 121]);
    expect(holdSpans(lost, 121)).toEqual([
      { fromMin: 0, toMin: 20 },
      { fromMin: 40, toMin: 60 },
    ]);
  });

  it('is nowhere when it never gets there, and nowhere in an empty trace', () => {
    expect(holdSpans(at([0, 20], [30, 98]), 100)).toEqual([]);
    expect(holdSpans([], 100)).toEqual([]);
  });

  it('adds up to the minutes the verdict counts', () => {
    const trace = at([0, 90], [7, 125], [31, 119], [44, 122], [60, 80]);
    const spans = holdSpans(trace, 120.5);
    const minutes = spans.reduce((sum, { fromMin, toMin }) => sum + toMin - fromMin, 0);
    expect(minutes).toBeCloseTo(minutesAbove(trace, 120.5), 9);
  });
});
