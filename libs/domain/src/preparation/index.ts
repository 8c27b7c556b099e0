export {
  type BenchPreparation,
  benchPreparation,
  CHALK,
  type FillLine,
  GYPSUM,
  type PreparationWanted,
} from './bench-preparation.js';
export {
  type GrainAccount,
  type GrainNeed,
  type GrainOnHand,
  type GrainOutlook,
  type GrainStockEntry,
  type GrainTaken,
  grainOnHand,
  grainOutlook,
} from './grain-stock.js';
export { type HoldGuidance, holdGuidance } from './hold-guidance.js';
