/** What the farm should look at. The flags' own sentences come from the server. */
export const watch = {
  'screen.watch': 'Watch',

  'command.settledFlags': 'Settled flags',

  'field.settledWithin': 'Settled within',

  'flag.ageingOut': 'Cold stock ageing out',
  'flag.badMother': 'Bad mother',
  'flag.contamination': 'Contamination has shifted',
  'flag.cycle': 'Steriliser cycle departed',
  'flag.fewMothers': 'Too few mothers',
  'flag.slowLot': 'Slow lot',
  'flag.stranded': 'Stranded jars',

  'watch.count': '{count, plural, one {# flag} other {# flags}}',
  'watch.do': 'What to do:',
  'watch.go.growth': 'Look at ripening',
  'watch.go.rates': 'Look at the rates',
  'watch.go.runs': 'Bulk runs',
  'watch.moreOfKind': '{count, plural, one {# more of this kind} other {# more of this kind}}',
  'watch.none': 'Nothing needs a look. The watch goes over the farm each night and after entries that matter.',
  'watch.noneSettled': 'No flag settled in that time',
  'watch.settled': 'Settled',
  'watch.settledLead': 'A flag settles by itself when its cause is gone. It is not raised twice for one cause.',
  'watch.settledOn': 'Stood since {since}, settled on {when}.',
  'watch.since': 'Since {day}.',
  'watch.title': 'To look at',
  'watch.where': 'Where',
} as const;
