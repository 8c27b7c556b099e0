export { defaultCosts, defaultHorizonDays, defaultRhythm } from './planning-defaults.js';
