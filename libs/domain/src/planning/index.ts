export * from './plan.js';
export * from './situation.js';
