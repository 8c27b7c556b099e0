export { listLotCells, readLevelNames } from './contamination.repository.js';
export { listRipenings } from './growth.repository.js';
export type { Learned, LearnedStrain } from './learned.js';
export { LearnedFarms } from './learned-farms.js';
export { RatesService } from './rates.service.js';
export { listBorneRuns, type NamedBorneRun } from './yield.repository.js';
