import { describe, expect, it } from '@jest/globals';
import { calendarDay } from '../calendar/calendar-day.js';
import { CodeBook } from './code-book.js';

const DAY = calendarDay('2026-11-25');

describe('CodeBook', () => {
  it('gives the next code after the highest, and a code that is given back again', () => {
    const book = new CodeBook();
    book.take('lot', 'OY3-26W48-4', 'one');
    expect(book.next('lot', 'OY3', DAY)).toBe('OY3-26W48-5');
    book.release('lot', 'OY3-26W48-4', 'one');
    expect(book.next('lot', 'OY3', DAY)).toBe('OY3-26W48-1');
  });

  it('a code that two tablets gave is taken until both have let it go', () => {
    const book = new CodeBook();
    book.take('lot', 'OY3-26W48-1', 'mine');
    book.take('lot', 'OY3-26W48-1', 'theirs');
    book.take('lot', 'OY3-26W48-1', 'mine');
    book.release('lot', 'OY3-26W48-1', 'mine');
    expect(book.isTaken('lot', 'OY3-26W48-1')).toBe(true);
    book.release('lot', 'OY3-26W48-1', 'theirs');
    expect(book.isTaken('lot', 'OY3-26W48-1')).toBe(false);
  });
});
