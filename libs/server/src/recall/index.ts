export { RecallService } from './recall.service.js';
