/** Words of what lies ahead: harvest, spawn and promises by week. */
export const ahead = {
  'command.reckonPromise': 'Work back to runs',

  'field.promiseCare': 'Reckon with',
  'field.promiseDay': 'For the day',
  'field.promiseMass': 'Fresh mushrooms promised',
  'field.promiseWeeks': 'The same again each week',

  'column.expectedHarvest': 'Harvest expected',
  'column.expectedSpawn': 'Spawn expected',
  'column.forecastError': 'Erred by, a week',
  'column.forecastMethod': 'Way of forecasting',
  'column.fromRuns': 'From runs',
  'column.madeSpawn': 'Spawn made',
  'column.plannedSpawn': 'Spawn planned',
  'column.week': 'Week',
  'column.serves': 'For',
  'column.wetSubstrate': 'Wet substrate',

  'ahead.andMore': '{named} and {count, plural, one {# more} other {# more}}',
  'ahead.bearing': 'How runs bear',
  'ahead.bearingLead':
    'What the weeks above rest on: finished runs of this farm drawn toward published values while they are few.',
  'ahead.care.low': 'the low end',
  'ahead.care.mean': 'the average',
  'ahead.harvest': 'Harvest by week',
  'ahead.harvestDesc':
    '{weeks, plural, one {# week} other {# weeks}}: a bar to a week for the harvest expected, and a line for its interval. Most in {most}: {mass}.',
  'ahead.harvestLead':
    'What runs made and planned should bear, going by finished runs. Each week has the interval that holds {share} of the time: it knows that runs vary, but not a month that is bad for all of them.',
  'ahead.legend.behind': 'made, by week',
  'ahead.legend.expected': 'expected, with its interval',
  'ahead.legend.harvest': 'harvest expected',
  'ahead.legend.planned': 'planned',
  'ahead.method.fading': 'chance and size of a week, fading when runs stop',
  'ahead.method.intermittent': 'size and spacing of weeks with runs',
  'ahead.method.last': 'as last week',
  'ahead.method.mean': 'mean of all weeks',
  'ahead.method.simple': 'newer weeks count more',
  'ahead.method.trend': 'newer weeks and their trend',
  'ahead.none': 'No run is planned or waits for harvest',
  'ahead.noneHint': 'Plan a bulk run, and its harvest stands here.',
  'ahead.promise': 'From a promise back to runs',
  'ahead.promiseAnswer':
    'Reckoned with {share} fresh per dry substrate, {days} days to the first flush and {runs, plural, =0 {published values} one {one finished run} other {# finished runs}}. Spawn at {rate} of the wet substrate, which is taken for {moisture} water.',
  'ahead.promiseError.day': 'Choose the day it is promised for.',
  'ahead.promiseError.mass': 'Write the kilograms as a number above 0.',
  'ahead.promiseError.weeks': 'Write a whole number of weeks from 1 to 26.',
  'ahead.promiseHint': 'Of what runs bear, as in the table at the end. With the low end something is mostly left over.',
  'ahead.promiseLead':
    'What promised kilograms need in runs, substrate and spawn, on the weekdays your runs are made on.',
  'ahead.promiseNothing': 'No further run is needed.',
  'ahead.promiseRuns': 'Runs to make',
  'ahead.promiseSurplus': 'Later flushes bear {mass} more than was promised.',
  'ahead.promiseTooLate': '{mass} for {day} can no longer be met: the run would have had to be made by {by}.',
  'ahead.spawn': 'Spawn by week',
  'ahead.spawnDesc':
    '{behind, plural, one {# week} other {# weeks}} behind as bars, {weeks, plural, one {# week} other {# weeks}} ahead: planned as bars, expected as dots with intervals.',
  'ahead.spawnLead':
    'Forecast beyond the planned runs with “{method}”: of six ways tried over {weeks, plural, one {# week} other {# weeks}} behind it erred least, by {error} a week. A week planned far below what is expected may be waiting for its runs.',
  'ahead.spawnNot': 'No forecast yet: {reason}. The runs planned are shown.',
  'ahead.tried': 'Every way of forecasting that was tried',
  'ahead.week': '{week}, from {day}',
  'ahead.weeksUnit': 'weeks in all',
  'rates.area.ahead': 'Ahead',
} as const;
