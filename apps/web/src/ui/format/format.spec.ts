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
      /^2 chilled jars of OY1-26W40-1 \(1.3\u00a0kg\) too old in 6 days, on Tue,? 1 Dec\.$/,
    );
    expect(houseWords('Weigh 40.5 g of it, of 12345 gross, by 2026-02-30.')).toBe(
      'Weigh 41\u00a0g of it, of 12345 gross, by 2026-02-30.',
    );
  });

  // A number and its unit are one word to the eye: no line ends between them (SI Brochure 5.4.3, from memory: a space separates them).
  it('a mass below a kilogram is shown in grams, from a kilogram on in kilograms', () => {
    expect(formatMass(240)).toBe('240\u00a0g');
    expect(formatMass(999)).toBe('999\u00a0g');
    expect(formatMass(1250)).toBe('1.25\u00a0kg');
    expect(formatMass(140_000)).toBe('140\u00a0kg');
  });

  it('a pressure is shown in both units gauges are marked in', () => {
    expect(formatPressure(103.4)).toBe('103\u00a0kPa (15\u00a0psi)');
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
    expect(formatVolume(500)).toBe('500\u00a0ml');
    expect(formatVolume(1500)).toBe('1.5\u00a0L');
    expect(formatShare(0.125)).toBe('12.5\u00a0%');
    expect(formatDuration(90)).toBe('1\u00a0h 30\u00a0min');
    expect(formatDuration(45)).toBe('45\u00a0min');
  });
});
