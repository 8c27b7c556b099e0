export { listBenchPeople } from './bench-time.repository.js';
export { StaffService } from './staff.service.js';
