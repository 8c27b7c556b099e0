export { listRuns, type RunRow } from './runs.repository.js';
export { addRunIn, cancelRunIn, changeRunIn, RunsService } from './runs.service.js';
