import { describe, expect, it } from '@jest/globals';
import { nightlySchedule, scheduleChanges } from './nightly.js';

const vienna = { id: '0198c6a0-0000-7000-8000-000000000001', timeZone: 'Europe/Vienna' };
const auckland = { id: '0198c6a0-0000-7000-8000-000000000002', timeZone: 'Pacific/Auckland' };

const asStanding = (grower: typeof vienna) => {
  const { schedulerId, pattern, timeZone } = nightlySchedule(grower);
  return { schedulerId, pattern, timeZone };
};

describe('scheduleChanges', () => {
  it('sets a night for every grower that has none, in its own zone', () => {
    const { set, remove } = scheduleChanges([vienna, auckland], []);
    expect(set.map(({ growerId, timeZone }) => [growerId, timeZone])).toEqual([
      [vienna.id, 'Europe/Vienna'],
      [auckland.id, 'Pacific/Auckland'],
    ]);
    expect(set.every(({ pattern }) => /^[0-5]?\d 4 \* \* \*$/.test(pattern))).toBe(true);
    expect(remove).toEqual([]);
  });

  it('leaves one that stands as it should alone', () => {
    expect(scheduleChanges([vienna], [asStanding(vienna)])).toEqual({ set: [], remove: [] });
  });

  it('follows a farm that moved, and forgets one that is gone', () => {
    const moved = { ...vienna, timeZone: 'America/Chicago' };
    const { set, remove } = scheduleChanges([moved], [asStanding(vienna), asStanding(auckland)]);
    expect(set.map(({ timeZone }) => timeZone)).toEqual(['America/Chicago']);
    expect(remove).toEqual([nightlySchedule(auckland).schedulerId]);
  });

  it('touches no schedule that is not a nightly one', () => {
    const other = { schedulerId: 'weekly-letter', pattern: '0 6 * * 1', timeZone: undefined };
    expect(scheduleChanges([], [other])).toEqual({ set: [], remove: [] });
  });
});
