import { describe, expect, it } from '@jest/globals';
import { dayFromText } from './day-text.js';

describe('dayFromText', () => {
  it.each([
    ['2026-11-25', '2026-11-25'],
    ['2026/11/5', '2026-11-05'],
    ['2026-11-25T00:00:00', '2026-11-25'],
    ['25.11.2026', '2026-11-25'],
    ['11/25/2026', '2026-11-25'],
    ['5/5/2026', '2026-05-05'],
    ['25 Nov 2026', '2026-11-25'],
    ['25. November 2026', '2026-11-25'],
    ['November 25, 2026', '2026-11-25'],
    ['1st Sept 2026', '2026-09-01'],
  ])('reads "%s" as %s', (text, day) => {
    expect(dayFromText(text)).toEqual({ ok: true, value: day });
  });

  it('refuses a day with two readings and names both', () => {
    expect(dayFromText('03/04/2026')).toMatchObject({
      ok: false,
      code: 'ambiguous-day',
      rule: 'This can be read as 2026-04-03 or as 2026-03-04.',
    });
  });

  it.each(['2026-02-30', '31.4.2026', '2026-13-01', '30 Feb 2026', '00/00/2026'])(
    'refuses "%s": no such day',
    (text) => {
      expect(dayFromText(text)).toMatchObject({ ok: false, code: 'impossible-day' });
    },
  );

  it.each(['soon', '26', 'next week', ''])('refuses "%s": no day', (text) => {
    expect(dayFromText(text)).toMatchObject({ ok: false, code: 'not-a-day' });
  });

  it('refuses a year of two digits', () => {
    expect(dayFromText('25/11/26')).toMatchObject({ ok: false, code: 'ambiguous-day' });
  });

  it('suggests the month that was meant', () => {
    expect(dayFromText('5 Novembr 2026')).toMatchObject({ ok: false, advice: expect.stringContaining('november') });
  });
});
