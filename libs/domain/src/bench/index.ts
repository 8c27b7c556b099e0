export { type Admission, admit, type SentEntry } from './admission.js';
export { canonicalJson, isWellFormed } from './canonical-json.js';
export { canSpawnSubstrate } from './carriers.js';
export { CodeBook } from './code-book.js';
export {
  actionBehind,
  type CorrectionDecision,
  codesGivenBy,
  codesTakenSince,
  decideCorrection,
  deriveThings,
  type LoggedEntry,
  thingsToDerive,
  voidedEntries,
} from './correction.js';
export {
  type BenchJob,
  type JobKind,
  type JobProgress,
  type JobUnit,
  jobsDone,
  jobsOfPlan,
  type WorkDone,
  workByKey,
} from './day-jobs.js';
export { type Decision, decideEntry, type Refusal, refusal, type ThingAfter, thingsOf } from './decide.js';
export {
  CLOCK_TOLERANCE_MS,
  type ClockReading,
  type EffectiveMoment,
  effectiveMoment,
  OLDEST_UNSENT_MS,
} from './device-clock.js';
export { BOTTOM_SHARE } from './draw-amount.js';
export { type DrawRecord, thingKey } from './effect.js';
export type {
  ActionEntry,
  BenchEntry,
  Carrier,
  ContainerForm,
  DiscardReason,
  Draw,
  DrawAmount,
  EntryKind,
  EntryOf,
  EntryPayloads,
  FindingKind,
  SettlementWay,
  ShelfPlace,
  SizeCount,
  SterilisingMethod,
  Vigour,
} from './entry.js';
export type { EntryFacts } from './facts.js';
export { BenchLedger, type BenchSettings, type LedgerChanges } from './ledger.js';
export { jarCodeOf } from './making-effects.js';
export { roundMassG, sumMassG } from './mass.js';
export { type BenchWarning, type Impossible, impossible, type RefusalCode, type WarningCode } from './outcome.js';
export { type Placing, placings } from './placings.js';
export {
  drawsOf,
  type JarInTheWay,
  jarsInTheWay,
  settledPayload,
  settlementWays,
} from './settlement.js';
export {
  type BenchThings,
  type ContainerPool,
  type GoneAs,
  GRAIN_STEPS,
  type GrainStepName,
  type Harvest,
  type Jar,
  type JarState,
  jarState,
  type LoggedGrainBatch,
  type Lot,
  type LotOrigin,
  type SteriliserCycle,
  type ThingKind,
  type ThingRef,
} from './thing.js';
export type { BenchReference, BenchRun, BenchStrain, BenchWorld, CodedThing } from './world.js';
