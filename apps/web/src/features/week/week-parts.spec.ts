import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { strandedGroups } from './stranded-groups.js';

const jar = (code: string, expires: string) => ({
  code,
  jarId: null,
  place: null,
  grams: 500,
  expires: calendarDay(expires),
});

describe('stranded jars', () => {
  it('jars of one lot that expire together are one line, soonest first', () => {
    const groups = strandedGroups([
      jar('OY3-26W48-1/02', '2026-12-09'),
      jar('OY3-26W48-1/03', '2026-12-09'),
      jar('LM1-26W40-2/01', '2026-12-01'),
    ]);
    expect(groups.map(({ name, jars, grams }) => [name, jars.length, grams])).toEqual([
      ['LM1-26W40-2/01', 1, 500],
      ['OY3-26W48-1', 2, 1000],
    ]);
  });

  it('one lot with two last days stays two lines: each has its own deadline', () => {
    expect(strandedGroups([jar('OY3-26W48-1/02', '2026-12-09'), jar('OY3-26W48-1/03', '2026-12-10')])).toHaveLength(2);
  });
});
