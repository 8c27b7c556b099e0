export { type JarForOrder, type OrderInPlan, orderInPlan } from './order-in-plan.js';
export { type DemandGrams, isStillAhead, remainingDemand } from './remaining-demand.js';
export { jarsInHand, type OrderStanding, orderDemand, orderStanding, type SpawnOrder } from './spawn-order.js';
export { usualRunShares } from './usual-run-shares.js';
