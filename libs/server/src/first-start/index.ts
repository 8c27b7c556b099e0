export { FirstStartService } from './first-start.service.js';
