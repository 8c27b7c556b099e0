export { Progress, Stopped, saidThatItFailed, type Told, tellProgress } from './progress.js';
export {
  beginFile,
  type FileTable,
  holdFile,
  lockFile,
  type Pace,
  settleFile,
  usualPace,
} from './under-way.repository.js';
