export { WeekService } from './week.service.js';
