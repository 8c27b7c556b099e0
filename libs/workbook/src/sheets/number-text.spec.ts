import { describe, expect, it } from '@jest/globals';
import { numberFromText } from './number-text.js';

describe('numberFromText', () => {
  it.each([
    ['12', 12],
    ['1.5', 1.5],
    ['1,5', 1.5],
    ['0,500', 0.5],
    ['0.125', 0.125],
    ['1 200', 1200],
    ["1'200.5", 1200.5],
    ['1,200,000', 1_200_000],
    ['1.200.000', 1_200_000],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['-4', -4],
    ['−4', -4],
    ['650 g', 650],
    ['650g', 650],
  ])('reads "%s" as %d', (text, value) => {
    expect(numberFromText(text, 'g')).toEqual({ ok: true, value });
  });

  it.each(['1,200', '12.345', '-1.000'])('refuses "%s" with both readings', (text) => {
    expect(numberFromText(text, 'g')).toMatchObject({ ok: false, code: 'ambiguous-number' });
  });

  it('names both readings of 1,200', () => {
    expect(numberFromText('1,200', 'g')).toMatchObject({ rule: 'This can be read as 1200 or as 1.2.' });
  });

  it.each(['lots', '12 or so', '1,2,3', '1..5', '', '12e3', '0x1F', '1,20,000'])('refuses "%s"', (text) => {
    expect(numberFromText(text, null)).toMatchObject({ ok: false, code: 'not-a-number' });
  });

  it('refuses a number in another unit and names the right one', () => {
    expect(numberFromText('2 lb', 'kg')).toMatchObject({
      ok: false,
      code: 'wrong-unit',
      rule: 'This column is in kg, not in "lb".',
    });
  });
});
