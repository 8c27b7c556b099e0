export {
  enqueueFileExport,
  enqueueFileImport,
  enqueueReplan,
  lookAgainAtExport,
  lookAgainAtImport,
  REPLAN_LATEST_MS,
} from './enqueue.js';
export { keepFailedJob, settleFailedJobs } from './failed-jobs.repository.js';
export { FailedJobsService } from './failed-jobs.service.js';
export { replanAsked } from './outbox.repository.js';
export {
  type DueGroup,
  dueGroups,
  forgetPublished,
  jobFault,
  listGrowerZones,
  markPublished,
  noteFailure,
  settleReplans,
} from './relay.repository.js';
