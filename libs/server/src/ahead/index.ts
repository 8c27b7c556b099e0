export { AheadService } from './ahead.service.js';
