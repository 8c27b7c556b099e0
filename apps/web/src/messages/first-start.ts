/** Words of the three questions of a new farm. */
export const firstStart = {
  'screen.firstStart': 'Three questions',

  'command.firstPlan': 'Make the first plan',

  'field.jarVolume': 'Jar volume',
  'field.ripeJars': 'Ripe jars on hand',
  'field.strainName': 'Strain name',

  'firstStart.jars': 'What have you?',
  'firstStart.jarsHint': 'Jars of it that are fully white now. 0 is an answer.',
  'firstStart.lead':
    'They are enough for a first plan. Everything else starts from usual values that you can change afterwards.',
  'firstStart.massHint': 'Ready to be spawned, water and all.',
  'firstStart.planning': 'Planning …',
  'firstStart.rest': 'A room, a shelf and a weekly rhythm are made for you.',
  'firstStart.run': 'What comes next?',
  'firstStart.speciesHint': 'Its published values are where the plan begins.',
  'firstStart.strain': 'What do you grow?',
  'firstStart.strainNameHint': 'What you call it. Left empty, it takes the species’ name.',
} as const;
