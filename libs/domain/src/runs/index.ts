export { type DemandGrams, isStillAhead, remainingDemand } from './remaining-demand.js';
