import {
  defaultCosts,
  defaultHorizonDays,
  defaultRhythm,
  fractionToPercent,
  grainKinds,
  mineralRecipes,
  usualFillShare,
  usualMoistures,
  usualTargetMoisture,
} from '@jarfold/domain';
import { column, fallback, type ValuesOf } from './column.js';
import { choice, days, number, percent, timeZone, weekdays, whole } from './value-kinds.js';

const OURS = 'our choice';
const CUSTOM = 'common practice, no source';
const PROPORTIONS = 'our choice; only the proportions of the costs matter';

/** A starting value, as the guide shows it. */
const startsAs = (value: number, because: string) => fallback(String(Number(value.toPrecision(6))), because);

const grainWords = Object.fromEntries(grainKinds.map(({ key, name }) => [key, name === key ? [] : [name]]));
const mineralWords = Object.fromEntries(mineralRecipes.map(({ key, name }) => [key, [name]]));

/** The settings of the Farm sheet, one in a row: name in the first column, value in the second. */
export const farmSettings = {
  benchWeekdays: column('bench days', weekdays, 'Weekdays on which the farm inoculates.', {
    example: 'Monday, Thursday',
  }),
  benchContainersPerDay: column(
    'jars per bench day',
    whole({ min: 0, max: 100_000 }),
    'Jars that can be inoculated on one bench day.',
    { example: '24' },
  ),
  vesselPlaces: column(
    'vessel places',
    whole({ min: 0, max: 100_000 }),
    'Places in the pressure vessel or pot for one load. A size says how many places one of its jars takes.',
    { example: '14' },
  ),
  cyclesPerPreparationDay: column(
    'loads per preparation day',
    whole({ min: 0, max: 100 }),
    'Loads that can be sterilised on one preparation day.',
    { fallback: startsAs(defaultRhythm.cyclesPerPreparationDay, CUSTOM), example: '2' },
  ),
  timeZone: column('time zone', timeZone, 'Decides which day it is today when no day is given.', {
    fallback: fallback("the computer's time zone", OURS),
    example: 'Europe/Vienna',
  }),
  preparationLeadDays: column(
    'preparation lead days',
    whole({ min: 0, max: 14 }),
    'Days from sterilising grain to the bench day; grain must be sterile and cooled.',
    { unit: 'days', fallback: startsAs(defaultRhythm.preparationLeadDays, CUSTOM), example: '1' },
  ),
  horizonDays: column('horizon days', whole({ min: 7, max: 400 }), 'How far ahead to plan.', {
    unit: 'days',
    fallback: startsAs(defaultHorizonDays, OURS),
    example: '84',
  }),
  closedDays: column(
    'closed days',
    days,
    'Days without bench work, whatever the weekday. The setting may stand in several rows.',
    { fallback: fallback('none', OURS), example: '2026-12-24, 2026-12-31' },
  ),
  benchMinutesPerDay: column(
    'bench minutes per bench day',
    number({ min: 0, max: 6_000, unit: 'min' }),
    'Hands-on minutes of all people together on one bench day.',
    { unit: 'min', fallback: fallback('no limit', OURS), example: '240' },
  ),
  benchMinutesPerContainer: column(
    'minutes per jar',
    number({ min: 0, max: 600, unit: 'min' }),
    'Hands-on minutes to inoculate one jar. Counts only with bench minutes per bench day.',
    { unit: 'min', fallback: startsAs(defaultRhythm.benchMinutesPerContainer, CUSTOM), example: '4' },
  ),
  washingDays: column(
    'washing days',
    whole({ min: 0, max: 60 }),
    'Days from emptying a jar until it is clean and empty again.',
    { unit: 'days', fallback: startsAs(defaultRhythm.washingDays, CUSTOM), example: '2' },
  ),
  openedLifeDays: column(
    'opened life days',
    whole({ min: 0, max: 60 }),
    'An opened jar must be used up within these days.',
    { unit: 'days', fallback: startsAs(defaultRhythm.openedLifeDays, CUSTOM), example: '3' },
  ),
  warmUpDays: column(
    'warm-up days',
    whole({ min: 0, max: 14 }),
    'Days a chilled jar stands warm before it is opened.',
    { unit: 'days', fallback: fallback('1', CUSTOM), example: '1' },
  ),
  grain: column('grain', choice(grainWords), 'The grain jars are filled with.', {
    fallback: fallback('rye', OURS),
    example: 'rye',
  }),
  grainMoisture: column(
    'grain moisture %',
    percent({ min: 0, max: 40 }),
    'Water in the grain as bought, per total mass.',
    { unit: '%', fallback: fallback("the grain's published value", 'see docs/sources.md'), example: '12' },
  ),
  targetMoisture: column(
    'filled moisture %',
    percent({ min: 20, max: 75 }),
    'Water in the grain when the jar is closed, per total mass.',
    {
      unit: '%',
      alsoCalled: ['target moisture %'],
      fallback: startsAs(fractionToPercent(usualTargetMoisture.value), 'Stamets 1993, p. 128 (seen as a copy)'),
      example: '50',
    },
  ),
  fillShare: column(
    'fill %',
    percent({ min: 10, max: 100 }),
    "How full a jar is: the hydrated grain's volume per volume of the jar.",
    {
      unit: '%',
      fallback: startsAs(fractionToPercent(usualFillShare.value), 'Upadhyay and others 2003 (seen as a copy)'),
      example: '70',
    },
  ),
  minerals: column('minerals', choice(mineralWords), 'Gypsum and chalk added to the grain, by its mass as bought.', {
    fallback: fallback('gypsum-half-percent', 'Stamets 1993, p. 130 (seen as a copy)'),
    example: 'gypsum-half-percent',
  }),
  spawnMoisture: column(
    'spawn moisture %',
    percent({ min: 20, max: 80 }),
    'Water in ripe spawn, per total mass. Used for runs with a dry/dry spawn rate.',
    {
      unit: '%',
      fallback: startsAs(fractionToPercent(usualMoistures.spawnMoisture), 'Stamets 1993, p. 128 (seen as a copy)'),
      example: '50',
    },
  ),
  perContainerStarted: column(
    'cost per jar',
    number({ min: 0, max: 1e6 }),
    "Grain, energy, lids and work for one jar, in the farm's own money.",
    { fallback: startsAs(defaultCosts.perContainerStarted, PROPORTIONS), example: '1.8' },
  ),
  perCycle: column('cost per load', number({ min: 0, max: 1e6 }), 'Energy and work for one steriliser load.', {
    fallback: startsAs(defaultCosts.perCycle, PROPORTIONS),
    example: '5',
  }),
  perKgAgedOut: column(
    'cost per kg aged out',
    number({ min: 0, max: 1e6 }),
    'What a kilogram of spawn costs that grows too old unused.',
    { fallback: startsAs(defaultCosts.perGramAgedOut * 1000, PROPORTIONS), example: '4' },
  ),
  perKgShort: column(
    'cost per kg short',
    number({ min: 0, max: 1e9 }),
    "What a kilogram of spawn costs that is missing from a run's minimum.",
    { fallback: startsAs(defaultCosts.perGramShort * 1000, PROPORTIONS), example: '60' },
  ),
  perKgBelowTarget: column(
    'cost per kg below target',
    number({ min: 0, max: 1e9 }),
    "What a kilogram of spawn costs that is missing between a run's minimum and its target.",
    { fallback: startsAs(defaultCosts.perGramBelowTarget * 1000, PROPORTIONS), example: '12' },
  ),
  perContainerChilled: column(
    'cost per jar chilled',
    number({ min: 0, max: 1e6 }),
    'Work to put one jar into the cold.',
    {
      fallback: fallback('0.1', PROPORTIONS),
      example: '0.1',
    },
  ),
  perMotherMissingDay: column(
    'cost per mother missing and day',
    number({ min: 0, max: 1e6 }),
    "What a mother jar costs for each day it is missing from a strain's reserve.",
    { fallback: fallback('2', PROPORTIONS), example: '2' },
  ),
};

export type FarmSettingValues = ValuesOf<typeof farmSettings>;
