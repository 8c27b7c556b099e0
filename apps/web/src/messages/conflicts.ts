/** Entries the rules refused, and what settles them. */
export const conflicts = {
  'conflict.drop': 'Leave it out: it did not happen',
  'conflict.lead':
    'Logged at the bench, and in the way of what the log holds already. Nothing of it counts until it is settled; work behind it went on.',
  'conflict.leadSettles': 'A lead or the owner settles this.',
  'conflict.left': '{mass} left',
  'conflict.moreJars': '{count, plural, one {# other jar it may have been} other {# other jars it may have been}}',
  'conflict.nameless': 'somebody whose name is no longer kept',
  'conflict.now': 'In the jar now',
  'conflict.onTablet': '{who}, on {tablet}',
  'conflict.recorded': 'Recorded first',
  'conflict.refused': 'Refused',
  'conflict.settled': 'Settled. {what}: {how}.',
  'conflict.takeLeft': 'It took the {mass} that were left',
  'conflict.takeOther': 'It was {code}, which holds {mass}',
  'conflict.took': 'gave {mass}',
  'conflict.tookAbout': 'gave about {mass}',
  'conflict.tryAgain': 'Record it now',
  'conflict.unknownJar': 'not known here',
  'conflict.wanted': 'was to give {mass}',
  'conflict.wantedPart': 'was to give a part that is no longer there',
  'conflict.whatFor': '{what}: {purpose}',
} as const;
