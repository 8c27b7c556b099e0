export * from './calendar-day.js';
export * from './common.js';
export * from './identity.js';
export * from './plan.js';
export * from './problem.js';
