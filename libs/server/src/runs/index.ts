export { listRuns, type RunRow } from './runs.repository.js';
export { addRunIn, RunsService } from './runs.service.js';
