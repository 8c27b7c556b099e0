import { farmSettingsPatchSchema } from '@jarfold/contracts';
import { calendarDay } from '@jarfold/domain';
import { describe, expect, it } from '@jest/globals';
import { settingsBody, settingsValues } from './settings-form.js';

const settings = {
  revision: 3,
  name: 'Hill farm',
  timeZone: 'Europe/Berlin',
  currency: 'EUR',
  horizonDays: 112,
  grain: 'rye',
  targetMoisture: 0.5,
  altitudeM: null,
  rhythm: {
    benchWeekdays: [2 as const],
    closedDays: [],
    benchContainersPerDay: 24,
    benchMinutesPerDay: null,
    benchMinutesPerContainer: 4,
    vesselPlaces: 16,
    cyclesPerPreparationDay: 2,
    preparationLeadDays: 1,
    openedLifeDays: 3,
    washingDays: 2,
  },
  costs: {
    perContainerStarted: 1,
    perCycle: 2,
    perGramAgedOut: 0.01,
    perGramShort: 0.1,
    perGramBelowTarget: 0.01,
    perGramGeneration: 0.001,
    perGramDayOld: 0.0001,
  },
};

describe('the form of the settings', () => {
  const before = settingsValues(settings);

  it('nothing changed is an empty body', () => {
    expect(settingsBody(before, { ...before })).toEqual({});
  });

  it('only what was changed is sent, in the shape of the contract', () => {
    const body = settingsBody(before, {
      ...before,
      vesselPlaces: '20',
      benchWeekdays: [2, 5],
      closedDays: [calendarDay('2026-12-24')],
      targetMoisture: '48',
      perCycle: '2,5',
    });
    expect(body).toEqual({
      rhythm: { vesselPlaces: 20, benchWeekdays: [2, 5], closedDays: ['2026-12-24'] },
      targetMoisture: 0.48,
      costs: { perCycle: 2.5 },
    });
    expect(farmSettingsPatchSchema.safeParse(body).success).toBe(true);
  });

  it('an emptied box is null where that means something, and an error where it does not', () => {
    const filled = settingsValues({ ...settings, altitudeM: 400 });
    expect(settingsBody(filled, { ...filled, altitudeM: '' })).toEqual({ altitudeM: null });
    const emptied = settingsBody(before, { ...before, horizonDays: '' });
    expect(farmSettingsPatchSchema.safeParse(emptied).success).toBe(false);
  });
});
