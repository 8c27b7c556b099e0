export { StaffService } from './staff.service.js';
