/** Words of the screen for staff and tablets. */
export const people = {
  'screen.people': 'Staff and tablets',

  'command.addAway': 'Add days away',
  'command.addPerson': 'Add a person',
  'command.addTablet': 'Add a tablet',
  'command.benchTime': 'Bench time',
  'command.leaves': 'Has left the farm',
  'command.makeCode': 'Make a code',
  'command.returns': 'Is back on the farm',
  'command.revoke': 'Shut out',
  'command.setPin': 'Set the PIN',

  'field.firstDayAway': 'First day away',
  'field.lastDayAway': 'Last day away',
  'field.ownBenchMinutes': 'Own bench minutes per bench day',
  'field.pin': 'PIN',
  'field.role': 'Role',
  'field.tabletName': 'Name of the tablet',

  'farm.byPin': 'by PIN',

  'people.awayFrom': 'away from {first} to {last}',
  'people.awayHint':
    'On bench days while they are away their minutes are left out, and the plan starts fewer jars or starts them earlier.',
  'people.awayOn': 'away on {day}',
  'people.awayPlace': 'Days away, {place}',
  'people.benchMinutesHint':
    'Hands-on time at the bench. Once one person’s minutes are written down, a bench day has the sum of those who are there, anybody without minutes counts with none, and the farm’s own number is not used.',
  'people.benchTimeOf': 'Bench time of {name}',
  'people.editNamed': 'Edit {name}',
  'people.enrolHow': 'On the tablet, open {address} and type this code:',
  'people.enrolOnce': 'It works once and for a quarter of an hour. It is not shown again.',
  'people.left': 'has left',
  'people.minutesADay': '{minutes} min a bench day',
  'people.minutesNone': 'no bench minutes, counts with none',
  'people.nameForgotten': 'Name erased',
  'people.noTablets': 'No tablet is enrolled yet.',
  'people.pinHint': '{digits} digits, for the farm’s tablets only.',
  'people.pinSet': 'The PIN is set. Tablets know it after they were last on the network.',
  'people.removeAwayPlace': 'Remove days away, {place}',
  'people.revokeNamed': 'Shut out {name}',
  'people.staff': 'Who works here',
  'people.tabletEntries': '{count, plural, one {# entry} other {# entries}} received',
  'people.tabletNameHint': 'such as Bench left',
  'people.tabletRevoked': 'shut out',
  'people.tablets': 'Shared tablets',
  'people.tabletsHint':
    'Staff sign in on an enrolled tablet with their PIN. A lost tablet is shut out here; what it had not sent is lost with it.',
  'people.withPin': '{role}, has a PIN',
  'people.withoutPin': '{role}, no PIN yet',
} as const;
