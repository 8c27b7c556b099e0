export * from './calendar-day.js';
export * from './plan.js';
