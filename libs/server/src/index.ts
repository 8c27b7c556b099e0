export * from './identity/index.js';
export * from './readiness/index.js';
