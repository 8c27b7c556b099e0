export { type DemandGrams, isStillAhead, remainingDemand } from './remaining-demand.js';
export { usualRunShares } from './usual-run-shares.js';
