export * from './calendar/calendar-day.js';
export * from './codes/index.js';
export { DomainError, requireThat } from './errors.js';
export type * from './planning/index.js';
export * from './species/index.js';
export * from './stock/index.js';
export * from './units/index.js';
export * from './week/index.js';
