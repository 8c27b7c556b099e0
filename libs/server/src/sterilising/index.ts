export { recordOfCycle } from './cycle-judged.js';
export { boilLostIn } from './cycles.repository.js';
export { SterilisingService } from './sterilising.service.js';
export { newestTraces, type StoredTrace } from './traces.repository.js';
