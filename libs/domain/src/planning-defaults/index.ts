export { defaultCulture } from './default-culture.js';
export { defaultCosts, defaultHorizonDays, defaultRhythm } from './planning-defaults.js';
