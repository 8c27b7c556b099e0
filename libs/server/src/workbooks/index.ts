export { statedRun } from './book-rows.js';
export { type FarmOfService, listFarms } from './farms.repository.js';
export { readFileUnits, type StoredFileUnits, writeFileUnits } from './file-units.repository.js';
export { hasExport } from './workbook-files.repository.js';
export { type FileToSend, WorkbooksService, type WriteWeekly } from './workbooks.service.js';
