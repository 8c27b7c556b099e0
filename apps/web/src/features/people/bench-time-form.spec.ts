import type { StaffMember } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { benchTimeBody, benchTimeValues, withAnother } from './bench-time-form.js';

const member = (benchMinutes: number | null): StaffMember => ({
  ...{ staffId: 'a', name: 'Ada', role: 'hand', active: true, hasAccount: false, pinSetAt: null, revision: 1 },
  benchMinutes,
  away: [{ firstDay: calendarDay('2026-12-23'), lastDay: calendarDay('2027-01-03'), note: null }],
});

describe('the form of somebody’s bench time', () => {
  it('sends back what it was filled with', () => {
    for (const minutes of [null, 0, 90]) {
      const { benchMinutes, away } = member(minutes);
      expect(benchTimeBody(benchTimeValues(member(minutes)))).toEqual({ benchMinutes, away });
    }
  });

  it('reads one day away without a last day, and a note of blanks as none', () => {
    const row = { key: 0, firstDay: '2026-12-23', lastDay: '', note: '  ' };
    expect(benchTimeBody({ benchMinutes: '', away: [row] })).toEqual({
      benchMinutes: null,
      away: [{ firstDay: '2026-12-23', lastDay: '2026-12-23', note: null }],
    });
  });

  it('gives each new row a key of its own, after one was taken away too', () => {
    const rows = withAnother(withAnother([])).slice(1);
    expect(withAnother(rows).map(({ key }) => key)).toEqual([1, 2]);
  });
});
