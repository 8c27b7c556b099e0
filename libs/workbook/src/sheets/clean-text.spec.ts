import { describe, expect, it } from '@jest/globals';
import { cleanText, headingKey, nameKey } from './clean-text.js';

describe('text as a person sees it', () => {
  it('has no double, hard or trailing spaces, no invisible marks and no full-width digits', () => {
    expect(cleanText('\u00a0Blue\u00a0 oyster\u200b \u202e１２\n')).toBe('Blue oyster 12');
  });

  it('compares names without case and spacing', () => {
    expect(nameKey(' BLUE  Oyster')).toBe(nameKey('blue oyster'));
  });

  it('compares headings by letters, digits and % only', () => {
    expect(headingKey('Wet (kg)')).toBe(headingKey('wet kg'));
    expect(headingKey('Loss, %')).toBe('loss%');
    expect(headingKey('Temperature °C')).toBe(headingKey('temperature C'));
  });
});
