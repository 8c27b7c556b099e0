export { recordOfCycle } from './cycle-judged.js';
export { SterilisingService } from './sterilising.service.js';
export { newestTraces, type StoredTrace } from './traces.repository.js';
