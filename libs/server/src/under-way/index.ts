export { Progress, Stopped, tellProgress } from './progress.js';
export {
  beginFile,
  type FileTable,
  giveUpAfter,
  holdFile,
  lockFile,
  type Pace,
  settleFile,
  usualPace,
} from './under-way.repository.js';
