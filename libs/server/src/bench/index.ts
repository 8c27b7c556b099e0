export {
  type ActionToAppend,
  BenchService,
  type HistoryToImport,
  type ImportReport,
  SERVER_DEVICE,
} from './bench.service.js';
export { logEntryJson } from './entry.mapper.js';
export { InTurn } from './in-turn.js';
export { entriesById, lockLog, readHead } from './log.repository.js';
export { type BatchPlace, correctPast, type PastBatch, recordPast } from './past-batch.js';
export type { RebuildReport } from './rebuild.js';
export { refusalMessage } from './refusal-message.js';
export type { EntryRow } from './rows.js';
export { type ChangedThing, thingsForTablet, thingsTouchedAfter } from './tablet-things.repository.js';
export { loadThings } from './things.repository.js';
