import '../../messages/desk-words.js';
import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import {
  formatDay,
  formatDistance,
  formatDuration,
  formatMass,
  formatPressure,
  formatShare,
  formatVolume,
  formatWeekOf,
  formatWeekSpan,
  houseWords,
} from './index.js';

describe('formats at the edge', () => {
  it('a sentence of the domain has its days and grams as the screens write them', () => {
    expect(houseWords('2 chilled jars of OY1-26W40-1 (1300 g) too old in 6 days, on 2026-12-01.')).toMatch(
      /^2 chilled jars of OY1-26W40-1 \(1.3 kg\) too old in 6 days, on Tue,? 1 Dec\.$/,
    );
    expect(houseWords('Weigh 40.5 g of it, of 12345 gross, by 2026-02-30.')).toBe(
      'Weigh 41 g of it, of 12345 gross, by 2026-02-30.',
    );
  });

  it('a mass below a kilogram is shown in grams, from a kilogram on in kilograms', () => {
    expect(formatMass(240)).toBe('240 g');
    expect(formatMass(999)).toBe('999 g');
    expect(formatMass(1250)).toBe('1.25 kg');
    expect(formatMass(140_000)).toBe('140 kg');
  });

  it('a pressure is shown in both units gauges are marked in', () => {
    expect(formatPressure(103.4)).toBe('103 kPa (15 psi)');
  });

  it('a day never shifts, whatever the zone of the machine', () => {
    expect(formatDay(calendarDay('2026-12-01'))).toMatch(/^Tue,? 1 Dec$/);
  });

  it('the ISO week of a new-year day belongs to the year of its Thursday (ISO 8601)', () => {
    expect(formatWeekOf(calendarDay('2027-01-03'))).toBe('2026-W53');
    expect(formatWeekSpan(calendarDay('2027-01-03'))).toBe('28 Dec to 3 Jan');
  });

  it('distances read as a person says them', () => {
    const today = calendarDay('2026-11-25');
    expect(formatDistance(today, today)).toBe('today');
    expect(formatDistance(today, calendarDay('2026-11-26'))).toBe('in 1 day');
    expect(formatDistance(today, calendarDay('2026-12-05'))).toBe('in 10 days');
    expect(formatDistance(today, calendarDay('2026-11-23'))).toBe('2 days ago');
  });

  it('volumes, shares and durations carry their unit', () => {
    expect(formatVolume(500)).toBe('500 ml');
    expect(formatVolume(1500)).toBe('1.5 L');
    expect(formatShare(0.125)).toBe('12.5 %');
    expect(formatDuration(90)).toBe('1 h 30 min');
    expect(formatDuration(45)).toBe('45 min');
  });
});
