import type { FarmSettings } from '@jarfold/contracts';
import type { CalendarDay } from '@jarfold/domain';
import { percentText, readPercent } from '../../ui/percent.js';
import { readNumber } from '../../ui/read-number.js';

export const RHYTHM = [
  'benchContainersPerDay',
  'benchMinutesPerDay',
  'benchMinutesPerContainer',
  'vesselPlaces',
  'cyclesPerPreparationDay',
  'preparationLeadDays',
  'openedLifeDays',
  'washingDays',
] as const satisfies readonly (keyof FarmSettings['rhythm'])[];

export const COSTS = [
  'perContainerStarted',
  'perCycle',
  'perGramAgedOut',
  'perGramShort',
  'perGramBelowTarget',
  'perGramGeneration',
  'perGramDayOld',
] as const satisfies readonly (keyof FarmSettings['costs'])[];

/** These may be left empty: then they do not limit, or the starting value applies. */
const MAY_BE_EMPTY: readonly string[] = ['benchMinutesPerDay', 'altitudeM'];
const TEXTS = ['name', 'timeZone', 'currency', 'grain'] as const;
const NUMBERS = ['horizonDays', 'altitudeM'] as const;

type Names = (typeof RHYTHM)[number] | (typeof COSTS)[number] | (typeof TEXTS)[number] | (typeof NUMBERS)[number];

/** Settings as their boxes hold them. */
export type SettingsValues = Record<Names | 'targetMoisture', string> & {
  benchWeekdays: FarmSettings['rhythm']['benchWeekdays'];
  closedDays: readonly CalendarDay[];
};

export function settingsValues(settings: FarmSettings): SettingsValues {
  const text = (value: number | null) => (value === null ? '' : String(value));
  return {
    ...(Object.fromEntries([
      ...RHYTHM.map((name) => [name, text(settings.rhythm[name])]),
      ...COSTS.map((name) => [name, text(settings.costs[name])]),
      ...TEXTS.map((name) => [name, settings[name]]),
      ...NUMBERS.map((name) => [name, text(settings[name])]),
    ]) as Record<Names, string>),
    targetMoisture: percentText(settings.targetMoisture),
    benchWeekdays: settings.rhythm.benchWeekdays,
    closedDays: settings.rhythm.closedDays,
  };
}

/** Only what was changed, in the shape of the contract. */
export function settingsBody(before: SettingsValues, after: SettingsValues): Record<string, unknown> {
  const changed = (name: keyof SettingsValues) => JSON.stringify(before[name]) !== JSON.stringify(after[name]);
  const numbers = (names: readonly Names[]) =>
    Object.fromEntries(names.filter(changed).map((name) => [name, numberOf(name, after[name])]));
  const rhythm = {
    ...numbers(RHYTHM),
    ...(changed('benchWeekdays') ? { benchWeekdays: after.benchWeekdays } : {}),
    ...(changed('closedDays') ? { closedDays: after.closedDays } : {}),
  };
  const costs = numbers(COSTS);
  return {
    ...Object.fromEntries(TEXTS.filter(changed).map((name) => [name, after[name].trim()])),
    ...numbers(NUMBERS),
    ...(changed('targetMoisture') ? { targetMoisture: readPercent(after.targetMoisture) } : {}),
    ...(Object.keys(rhythm).length > 0 ? { rhythm } : {}),
    ...(Object.keys(costs).length > 0 ? { costs } : {}),
  };
}

function numberOf(name: string, text: string): number | null {
  return readNumber(text) ?? (MAY_BE_EMPTY.includes(name) ? null : Number.NaN);
}
