export * from './farm/index.js';
export * from './identity/index.js';
export * from './jobs/index.js';
export * from './plan/index.js';
export * from './readiness/index.js';
export * from './runs/index.js';
export * from './stock/index.js';
export * from './week/index.js';
