export { ConflictsService } from './conflicts.service.js';
