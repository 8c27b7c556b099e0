/** Recall: every relative of a jar or lot. */
export const recall = {
  'screen.recall': 'Recall',

  'command.downloadWorkbook': 'Download as a workbook',
  'command.findRelatives': 'Find relatives',
  'command.recall': 'Find its relatives',

  'field.recallCode': 'Code of a jar or a lot',

  'column.discardedG': 'Discarded',
  'column.drawnG': 'Drawn',
  'column.leftG': 'Left',
  'column.madeG': 'Made',
  'column.relation': 'Relation',

  'recall.all': 'Every relative',
  'recall.askHint': 'Type or scan what stands on the label, such as OY3-26W48-2 or OY3-26W48-2/07.',
  'recall.askMissing': 'Type or scan a code first.',
  'recall.badge.ancestor': 'up {steps}',
  'recall.badge.asked': 'this',
  'recall.badge.descendant': 'down {steps}',
  'recall.badge.sister': 'sister',
  'recall.balance': 'Accounted for',
  'recall.balanceJars':
    '{jars, plural, one {# jar} other {# jars}} asked for or made from it: {present} still here, {gone} gone.',
  'recall.balanced': 'Every gram made is drawn, left or discarded.',
  'recall.byState': 'Jars by state',
  'recall.inRoom': '{kind} · {count, plural, one {# relative} other {# relatives}}',
  'recall.lineage': 'Up and down the line',
  'recall.lotCount':
    '{jars, plural, one {# jar} other {# jars}}, {standing} here{contaminated, plural, =0 {} other {, # contaminated}}',
  'recall.made': '{mass} made: {words}.',
  'recall.map': 'Where they stand',
  'recall.mapHint':
    '“up” is a jar it was made from, “down” one made from it, with the number of inoculations between. Rows without relatives are left out.',
  'recall.moreLots': '{count, plural, one {and # more lot} other {and # more lots}}, all in the workbook',
  'recall.noRuns': 'Nothing of it went into a bulk run or left for an order.',
  'recall.noneStanding': 'None of them stands on the farm any more.',
  'recall.notDrawn':
    '{count, plural, one {One more stands where nothing is drawn; it is} other {# more stand where nothing is drawn; they are}} in the table below.',
  'recall.part.discarded': '{mass} discarded',
  'recall.part.drawn': '{mass} drawn for jars and runs',
  'recall.part.left': '{mass} left',
  'recall.relation.ancestor': '{steps, plural, one {Its mother} =2 {Her mother, two steps up} other {# steps up}}',
  'recall.relation.asked': 'What you asked for',
  'recall.relation.descendant': '{steps, plural, one {Made from it} other {# steps down}}',
  'recall.relation.sister': 'Sisters, of the same mother',
  'recall.runs': 'Bulk runs it went into, and orders it left for',
  'recall.standing': '{count, plural, one {# jar} other {# jars}}',
  'recall.start': 'Which jar or lot?',
  'recall.startHint':
    'Every relative up and down the line is shown where it stands. A tap on a jar or lot anywhere leads here too.',
  'recall.stepCount': '{jars, plural, one {# jar} other {# jars}} in {lots, plural, one {# lot} other {# lots}}',
  'recall.summary':
    '{kind, select, jar {A jar} other {A lot}} with {ancestors, plural, =0 {no known ancestor} one {# ancestor} other {# ancestors}}, {descendants, plural, =0 {nothing made from it} one {# jar made from it} other {# jars made from it}} and {sisters, plural, =0 {no sisters} one {# sister} other {# sisters}}. As of {day}.',
  'recall.unbalanced': '{mass} are not accounted for',
  'recall.unbalancedJar': '{code}: {mass}',
} as const;
