import { describe, expect, it } from '@jest/globals';
import { effectiveMoment, OLDEST_UNSENT_MS } from './device-clock.js';

const NOW = Date.UTC(2026, 10, 25, 12);
const HOUR = 3_600_000;

describe('effectiveMoment', () => {
  it('a right clock is believed', () => {
    const reading = { happenedAtMs: NOW - HOUR, offsetMs: 900, nowMs: NOW, previousAtMs: null };
    expect(effectiveMoment(reading)).toEqual({ atMs: NOW - HOUR + 900, clockWrong: false });
  });

  it.each([
    ['a day slow', -24 * HOUR],
    ['three hours fast', 3 * HOUR],
    ['one hour off after a change to summer time', HOUR],
    ['reset to 1970', -NOW],
  ])('a clock %s is put right by its offset, and the person is told', (_name, wrongBy) => {
    const reading = { happenedAtMs: NOW - HOUR + wrongBy, offsetMs: -wrongBy, nowMs: NOW, previousAtMs: null };
    expect(effectiveMoment(reading)).toEqual({ atMs: NOW - HOUR, clockWrong: true });
  });

  it('a moment in the future or absurdly old counts as now', () => {
    for (const happenedAtMs of [NOW + HOUR, NOW - OLDEST_UNSENT_MS - 1, 0]) {
      const moment = effectiveMoment({ happenedAtMs, offsetMs: 0, nowMs: NOW, previousAtMs: null });
      expect(moment).toEqual({ atMs: NOW, clockWrong: true });
    }
  });

  it('a few seconds ahead is no fault, and still never later than now', () => {
    const moment = effectiveMoment({ happenedAtMs: NOW + 2000, offsetMs: 0, nowMs: NOW, previousAtMs: null });
    expect(moment).toEqual({ atMs: NOW, clockWrong: false });
  });

  it('entries of one device never run backwards', () => {
    const moment = effectiveMoment({ happenedAtMs: NOW - HOUR, offsetMs: 0, nowMs: NOW, previousAtMs: NOW - 60_000 });
    expect(moment.atMs).toBe(NOW - 60_000);
  });
});
