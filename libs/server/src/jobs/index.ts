export { enqueueReplan, REPLAN_LATEST_MS } from './enqueue.js';
export { replanAsked } from './outbox.repository.js';
