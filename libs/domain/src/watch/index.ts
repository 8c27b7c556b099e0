export { ageingFlags, type UnusedJar, type WaitingRun } from './ageing-flags.js';
export { type Flag, type FlagChanges, type FlagKind, flagChanges, flagKinds } from './flag.js';
export { contaminationFlags, cycleFlags, type EndedCycle, slowLotFlags, type UnripeLot } from './lot-flags.js';
export { badMotherFlags, fewMothersFlags, type KinJar, type MissingMothers } from './mother-flags.js';
