import { describe, expect, it } from '@jest/globals';
import fc from 'fast-check';
import { calendarDay, isoWeek } from '../calendar/calendar-day.js';
import {
  formatJarCode,
  formatLotCode,
  nextLotCode,
  parseJarCode,
  parseLotCode,
  readCode,
  strainCode,
  strainCodeProblem,
} from './index.js';

/** What spreadsheets make of a cell, written independently of the code under test: numbers, dates, money, truth. */
const locales = ['en', 'de', 'fr', 'es', 'it', 'pt', 'nl', 'pl', 'cs', 'sv', 'nb', 'da', 'tr', 'ro', 'fi', 'hu'];
const bare = (text: string): string =>
  text
    .normalize('NFD')
    .replaceAll(/\p{M}|\./gu, '')
    .toUpperCase();
const monthNames = locales.flatMap((locale) =>
  (['short', 'long'] as const).flatMap((month) =>
    Array.from({ length: 12 }, (_, m) =>
      bare(new Intl.DateTimeFormat(locale, { month, timeZone: 'UTC' }).format(Date.UTC(2026, m, 1))),
    ),
  ),
);
const asSpreadsheetReads = (cell: string): string => {
  const text = bare(cell);
  if (/^[+-]?(\d+[.,]?\d*|[.,]\d+)(E[+-]?\d+)?%?$/.test(text)) return 'number';
  if (/^\d+ ?[-/.:] ?\d+([-/.: ]+\d+)?$/.test(text)) return 'date or fraction';
  for (const month of monthNames) {
    const rest = text.startsWith(month) ? text.slice(month.length) : null;
    if (rest !== null && /^[ \-/]?\d{1,4}([ \-/,]\d{1,4})?$/.test(rest)) return 'date';
    if (text.endsWith(month) && /^\d{1,4}[ \-/]?$/.test(text.slice(0, text.length - month.length))) return 'date';
  }
  if (/^(EUR|USD|GBP|CHF|KR|RM|RP|RS|TL|FT|LEI|ZL) ?\d+$/.test(text)) return 'money';
  if (/^(TRUE|FALSE|WAHR|FALSCH|VRAI|FAUX|#?N\/?A|NULL|NAN|INF)$/.test(text)) return 'truth or missing';
  return /^[=+\-@]/.test(text) ? 'formula' : 'text';
};

const anyCode = fc
  .tuple(
    fc.array(fc.constantFrom(...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'), { minLength: 2, maxLength: 4 }),
    fc.array(fc.constantFrom(...'0123456789'), { maxLength: 3 }),
  )
  .map(([letters, digits]) => letters.join('') + digits.join(''))
  .filter((text) => strainCodeProblem(text) === null)
  .map(strainCode);
const anyWeek = fc.integer({ min: 0, max: 36523 }).map((n) => {
  const day = new Date(Date.UTC(2000, 0, 3) + n * 86_400_000).toISOString().slice(0, 10);
  return isoWeek(calendarDay(day));
});
const anyLot = fc.record({ strain: anyCode, week: anyWeek, serial: fc.integer({ min: 1, max: 999 }) });
const anyJar = fc.record({ lot: anyLot, number: fc.integer({ min: 1, max: 999 }) });

describe('codes of strains, lots and jars', () => {
  it('writes and reads the ISO week form', () => {
    const lot = { strain: strainCode('oy3'), week: { year: 2026, week: 48 }, serial: 2 };
    expect(formatLotCode(lot)).toBe('OY3-26W48-2');
    expect(formatJarCode({ lot, number: 7 })).toBe('OY3-26W48-2/07');
    expect(parseJarCode(' oy3–26w48−2/07 ')).toEqual({ lot, number: 7 });
  });

  it('reads back exactly what it writes', () => {
    fc.assert(
      fc.property(anyJar, (jar) => {
        expect(parseJarCode(formatJarCode(jar))).toEqual(jar);
        expect(parseLotCode(formatLotCode(jar.lot))).toEqual(jar.lot);
      }),
    );
  });

  it('stays text in a spreadsheet: no number, date, money, truth value or formula', () => {
    fc.assert(
      fc.property(anyJar, (jar) => {
        for (const code of [jar.lot.strain, formatLotCode(jar.lot), formatJarCode(jar)])
          expect([code, asSpreadsheetReads(code)]).toEqual([code, 'text']);
      }),
      { numRuns: 2000 },
    );
  });

  it('refuses every short code that is a month in one of sixteen languages', () => {
    const risky = monthNames.filter((name) => /^[A-Z]{2,4}$/.test(name));
    expect(risky.length).toBeGreaterThan(100);
    expect(risky.filter((name) => strainCodeProblem(`${name}1`) === null)).toEqual([]);
  });

  it('holds fewer than 15 digits and at most 21 characters, so that no program rounds or cuts it', () => {
    fc.assert(
      fc.property(anyJar, (jar) => {
        const code = formatJarCode(jar);
        expect(code.replaceAll(/\D/g, '').length).toBeLessThan(15);
        expect(code.length).toBeLessThanOrEqual(21);
      }),
    );
  });

  it('refuses what a spreadsheet would change, and says why', () => {
    expect(
      ['1E5', '07', 'MAR1', 'sept12', 'CHF5', 'TRUE', 'NA', 'O', 'ABCDE', 'OY3456', 'Ö1', ''].map(strainCodeProblem),
    ).toEqual([
      'shape',
      'shape',
      'month',
      'month',
      'money',
      'word',
      'word',
      'shape',
      'shape',
      'shape',
      'shape',
      'shape',
    ]);
    expect(() => strainCode('MAR1')).toThrow('turn it into a date');
  });

  it('knows which years have a week 53', () => {
    expect(parseLotCode('OY3-26W53-1').week).toEqual({ year: 2026, week: 53 });
    expect(() => parseLotCode('OY3-25W53-1')).toThrow('is not a lot code');
    expect(() => parseLotCode('OY3-26W00-1')).toThrow('is not a lot code');
  });

  it('refuses a leading zero in a serial and a jar number of one digit', () => {
    expect(readCode('OY3-26W48-02')).toEqual({ kind: 'neither' });
    expect(readCode('OY3-26W48-2/7')).toEqual({ kind: 'neither' });
    expect(readCode('OY3-26W48-2/007')).toEqual({ kind: 'neither' });
    expect(readCode('OY3-26W48-2/100').kind).toBe('jar');
    expect(readCode('OY3-26W48-2').kind).toBe('lot');
  });

  it('numbers the next lot after the highest in use, past gaps and older codes', () => {
    const week = { year: 2026, week: 48 };
    const used = ['OY3-26W48-1', 'oy3-26w48-4', 'OY3-26W47-9', 'SH1-26W48-7', 'old jar 12'];
    expect(nextLotCode(strainCode('OY3'), week, used)).toBe('OY3-26W48-5');
    expect(nextLotCode(strainCode('LM'), week, used)).toBe('LM-26W48-1');
    expect(() => nextLotCode(strainCode('OY3'), week, ['OY3-26W48-999'])).toThrow('serials 1 to 999');
  });
});
