export { SterilisingService } from './sterilising.service.js';
export { newestTraces, type StoredTrace } from './traces.repository.js';
