/** Words of the screen for records and exports. */
export const exports = {
  'screen.exports': 'Records and exports',

  'command.copyAddress': 'Copy the address',
  'command.downloadCsv': 'Tables as CSV',
  'command.downloadEpcis': 'As EPCIS 2.0',
  'command.downloadJsonLines': 'To bring in again',
  'command.downloadLots': 'As a sheet',
  'command.downloadTables': 'Tables as a workbook',
  'command.makeFeed': 'Make a calendar address',
  'command.openExports': 'Records and exports',
  'command.revokeFeed': 'Revoke',

  'field.dayStyle': 'Days are written',
  'field.feedName': 'What it is for',
  'field.feedOf': 'It shows',
  'field.fileMass': 'Masses',
  'field.fileTemperature': 'Temperatures',
  'field.lotCode': 'Only this lot',
  'field.lotsFrom': 'Lots made from',
  'field.lotsTo': 'Lots made until',
  'field.weekStart': 'The week begins on',

  'exports.address': 'Address',
  'exports.addressOnce':
    'This address is shown once. Whoever has it can read the calendar: give it to a calendar program as a subscription, and to nobody else.',
  'exports.copied': 'Copied.',
  'exports.copyFailed': 'The browser does not let a page copy here: mark the address and copy it by hand.',
  'exports.day.dayFirst': '29/11/2026',
  'exports.day.iso': '2026-11-29',
  'exports.day.monthFirst': '11/29/2026',
  'exports.farm': 'The whole farm',
  'exports.farmHint':
    'Everything the farm told and everything that follows from it. Passwords, PINs, sign-ins and secret addresses stay behind. What brings it in again is a file of JSON lines with a checksum, read into an empty farm by “npm run -s workbook -- bring-in”; the workbook and the CSV files are there to be read.',
  'exports.farmOwner': 'Only the owner can take the whole farm out.',
  'exports.feedEmpty': 'No calendar address was made yet.',
  'exports.feedOf.farm': 'all work of the farm',
  'exports.feedOf.person': 'the work of my own role',
  'exports.feeds': 'Calendar addresses',
  'exports.feedsHint':
    'Bench days, preparation, checks due, bulk runs and the last good day of jars, in any calendar program that reads an address (RFC 5545).',
  'exports.feedLine': '{name}: {of}, made {when}',
  'exports.feedRevoked': '{name}: revoked {when}',
  'exports.files': 'How files show things',
  'exports.filesHint':
    'For workbooks and lists that leave the farm. Inside, everything stays grams, Celsius and ISO days.',
  'exports.filesSaved': 'Saved. Files made from now on follow it.',
  'exports.link':
    'Lot records for those who ask, a calendar address, how files show things, and the whole farm in one file.',
  'exports.lots': 'Lot records',
  'exports.lotsBadDays': 'The first day lies after the last.',
  'exports.lotsHint':
    'A row to a lot: its mothers, grain and steriliser cycle, the grams made, drawn, left and discarded, and the runs it went into. The sheet is for people; EPCIS 2.0 (JSON-LD) is the open standard that programs of buyers and inspectors read. Up to 5,000 lots at once; left empty, the last year.',
  'exports.lotHint': 'The code on its label; the days then do not count.',
  'exports.mass.metric': 'grams and kilograms',
  'exports.mass.us': 'pounds',
  'exports.revokeOf': 'Revoke {name}',
  'exports.temperature.celsius': 'Celsius',
  'exports.temperature.fahrenheit': 'Fahrenheit',
} as const;
