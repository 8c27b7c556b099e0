export { type ActionToAppend, BenchService, SERVER_DEVICE } from './bench.service.js';
export { logEntryJson } from './entry.mapper.js';
export { entriesById, lockLog, readHead, refreshStatistics } from './log.repository.js';
export { type BatchPlace, correctPast, type PastBatch, recordPast } from './past-batch.js';
export type { RebuildReport } from './rebuild.js';
export { refusalMessage } from './refusal-message.js';
export type { EntryRow } from './rows.js';
export { type ChangedThing, thingsForTablet, thingsTouchedAfter } from './tablet-things.repository.js';
export { loadThings } from './things.repository.js';
