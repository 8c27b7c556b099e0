export { type BroughtEntry, type BroughtIds, broughtEntries } from './brought-entries.js';
export { type FoundRow, type FoundTable, findTables, type LeftOutRow } from './find-tables.js';
export { guessColumns, headingKey } from './guess-columns.js';
export { guessMapping, mappingAs, runsInFile, withoutLostMeanings, withPlainWords } from './guess-mapping.js';
export type { FoundColumn } from './heading-rows.js';
export type { JarRecord } from './jar-records.js';
export type { HarvestRecord, RunRecord } from './run-records.js';
export { type AlreadyHere, type LotToBring, runKey, type SettledFile, settleFile } from './settle-file.js';
export {
  type FieldSpec,
  fieldSpec,
  fieldsOf,
  massUnits,
  type SheetField,
  type SheetUnit,
  sheetFields,
  type TableUse,
  tableUses,
  temperatureUnits,
  unitsOf,
} from './sheet-fields.js';
export {
  type ColumnUse,
  type FarmFacts,
  goneStates,
  type SheetMapping,
  type SheetQuestion,
  type SheetState,
  sheetStates,
  type TableMapping,
  type WordField,
  type WordMeaning,
  wordFields,
} from './sheet-mapping.js';
export { celsiusOf, gramsOf, unitInHeading, volumeInWords } from './sheet-units.js';
export { type RowLeftOut, type UnderstoodFile, understandFile } from './understand-file.js';
export { likelyMeaning, plainMeaning, wordKey } from './word-meanings.js';
export { type DayCount, type DayOrder, dayOfCount, dayOrders, dayReadings, possibleDays } from './written-day.js';
export {
  cellName,
  columnName,
  type MergedCells,
  shownContent,
  type WrittenCell,
  type WrittenContent,
  type WrittenFile,
  type WrittenRow,
  type WrittenSheet,
} from './written-file.js';
export { type DecimalMark, isTwoNumbers, numberReadings } from './written-number.js';
