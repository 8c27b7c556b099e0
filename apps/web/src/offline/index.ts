export { BenchCore, type BenchStatus, type ImportAnswer, type RecordAnswer, type UndoAnswer } from './bench-core.js';
export type {
  BenchJob,
  BenchPicture,
  ChangesSince,
  FarmFacts,
  OrderFacts,
  RoomFacts,
  RunFacts,
  ShelfFacts,
  SizeFacts,
  StaffFacts,
  StrainFacts,
  ThingNow,
} from './farm-facts.js';
export { LocalFarm, voidedAmong } from './local-farm.js';
export { MemoryStore } from './memory-store.js';
export type { BenchAction, OwnEntry } from './own-entry.js';
export type { CorePorts, LockPort, NetAnswer, NetPort, StoreChange, StoredBench, StorePort } from './ports.js';
export type { AnyThing } from './thing-shelf.js';
