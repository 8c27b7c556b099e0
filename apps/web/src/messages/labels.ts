/** Labels for jars and lots: printing them, and how they lie on what the printer takes. */
export const labels = {
  'command.printShownLabels': 'Print labels of these jars',
  'command.saveLabels': 'Save the layout',
  'command.usualSheet': 'Starting values',

  'field.gapAcross': 'Gap across',
  'field.gapDown': 'Gap down',
  'field.labelColumns': 'Columns',
  'field.labelHeight': 'Label height',
  'field.labelKind': 'Printed on',
  'field.labelRows': 'Rows of labels',
  'field.labelWidth': 'Label width',
  'field.labelsUsed': 'Labels used already',
  'field.marginLeft': 'Left margin',
  'field.marginTop': 'Top margin',
  'field.pageHeight': 'Page height',
  'field.pageWidth': 'Page width',

  'labels.begunSheet': 'The sheet in the printer is begun already',
  'labels.drawnSheet': '{count, plural, one {# label} other {# labels}} on a page of {width} × {height} mm',
  'labels.drawnSingle': 'A page of {width} × {height} mm for each label',
  'labels.lead': 'Measured on the sheet or roll in your printer. Print at 100 %, without fitting to the page.',
  'labels.noDrawing': 'The drawing comes back when every box holds a number.',
  'labels.saved': 'Saved. Labels lie like this from now on, at the desk and at the bench.',
  'labels.sheet': 'Sheets with a grid of labels',
  'labels.single': 'Single labels from a label printer',
  'labels.title': 'Labels',
  'labels.tooLarge': 'The labels reach over the edge of the page.',
  'labels.usedHint': 'Counted along the rows; a full sheet has {perPage}.',
  'labels.usedWrong': 'A whole number from 0 to {most}.',

  'unit.mm': 'mm',
} as const;
