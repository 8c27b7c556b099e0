export {
  type BenchPreparation,
  benchPreparation,
  CHALK,
  type FillLine,
  GYPSUM,
  type PreparationWanted,
} from './bench-preparation.js';
export { type HoldGuidance, holdGuidance } from './hold-guidance.js';
