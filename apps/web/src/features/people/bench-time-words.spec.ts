import type { StaffMember } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { beforeAll, describe, expect, it } from '@jest/globals';
import { en } from '../../messages/en.js';
import { speak } from '../../messages/translate.js';
import { benchTimeWords } from './bench-time-words.js';

beforeAll(() => speak(en));

const today = calendarDay('2026-11-30');
const hand = { active: true, benchMinutes: null, away: [] } as unknown as StaffMember;

describe('what the list says of somebody’s bench time', () => {
  it('is nothing of minutes while nobody has said any', () => {
    expect(benchTimeWords(hand, { today, anybodySaid: false })).toEqual([]);
  });

  it('is that whoever has not said any counts with none, once somebody has', () => {
    expect(benchTimeWords(hand, { today, anybodySaid: true })).toEqual(['no bench minutes, counts with none']);
    expect(benchTimeWords({ ...hand, benchMinutes: 90 }, { today, anybodySaid: true })).toEqual(['90 min a bench day']);
    expect(benchTimeWords({ ...hand, active: false }, { today, anybodySaid: true })).toEqual([]);
  });
});
