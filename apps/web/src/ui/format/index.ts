export * from './day.js';
export * from './house-words.js';
export * from './quantity.js';
