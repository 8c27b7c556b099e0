export * from './day.js';
export * from './day-words.js';
export * from './quantity.js';
