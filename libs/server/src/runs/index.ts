export { coverageOfRuns } from './coverage-of-runs.js';
export { type BulkRunRow, isBulkRun, listRuns, type OrderRow, type RunRow } from './runs.repository.js';
export { addRunIn, addRunsIn, cancelRunIn, changeRunIn, RunsService } from './runs.service.js';
