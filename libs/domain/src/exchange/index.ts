export { calendarText, type DayCalendar, type DayEvent } from './calendar-text.js';
export { cellText } from './cell-text.js';
export { epcisDocument } from './epcis-document.js';
export {
  cellNumber,
  type FileUnits,
  largeMass,
  largeMassInG,
  largeMassUnit,
  shownTemperature,
  smallMass,
  smallMassUnit,
  temperatureUnitShown,
  usualFileUnits,
  writtenMass,
} from './file-units.js';
export {
  appliedMerge,
  type CellChange,
  type CellConflict,
  type CopiedRow,
  type DeleteConflict,
  decideMerge,
  type MergeChoices,
  type MergeDecision,
  type MergeInput,
  type MergeResult,
  mergeRows,
  sameCell,
  type TheirRow,
} from './merge-rows.js';
export * from './old-sheets/index.js';
export type { BookReading, FileProblem, ReturnedBook } from './returned-book.js';
export {
  type CellValue,
  type CellValues,
  type RunCellName,
  type RunCells,
  runCellNames,
  runCells,
  runFromCells,
  type StatedRun,
  usualSpawnMoisturePercent,
  usualSubstrateMoisturePercent,
} from './run-cells.js';
export type { TraceDraw, TraceHarvest, TraceJar, TraceLot, TraceRecords } from './trace-records.js';
export type {
  BookHarvest,
  BookJar,
  BookLists,
  BookOrder,
  BookRate,
  BookRun,
  BookStart,
  BookWork,
  WeekInBrief,
  WeeklyBook,
} from './weekly-book.js';
