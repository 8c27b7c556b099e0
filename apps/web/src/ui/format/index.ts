export * from './day.js';
export * from './quantity.js';
