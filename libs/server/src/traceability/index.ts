export { TraceabilityService, type WriteLotRecords } from './traceability.service.js';
