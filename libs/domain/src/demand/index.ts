export { expansionChain } from './expansion-chain.js';
export { type RunWanted, type SpawnForRun, spawnForRun, substrateWetG, usualMoistures } from './spawn-for-run.js';
export {
  convertSpawnRate,
  type Moistures,
  type SpawnRateBasis,
  spawnRateBases,
  wetRate,
} from './spawn-rate.js';
