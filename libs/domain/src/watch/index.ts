export { ageingFlags, type UnusedJar, type WaitingRun } from './ageing-flags.js';
export { type ContaminationShift, contaminationFlag, contaminationShift } from './contamination-flag.js';
export { type Flag, type FlagChanges, type FlagKind, flagChanges, flagKinds } from './flag.js';
export { flagsOfLog, type LogSeen } from './log-flags.js';
export { cycleFlags, type EndedCycle, slowLotFlags, type UnripeLot } from './lot-flags.js';
export {
  badMotherFlags,
  fewMothersFlags,
  type KinJar,
  type MissingMothers,
  type MothersKept,
  mothersMissingNow,
} from './mother-flags.js';
