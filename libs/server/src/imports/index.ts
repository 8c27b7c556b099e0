export { FarmFilesService, FarmFileWork } from './farm-files/farm-files.service.js';
export { farmFileLines } from './farm-files/farm-lines.js';
export { type BroughtIn, FileImporter } from './file-importer.js';
export { type BringInWatch, OldSheetsWork } from './old-sheets/bring-in.js';
export type { ReadOldSheets } from './old-sheets/kept-sheet.js';
export { OldSheetsService } from './old-sheets/old-sheets.service.js';
export { understandInThread } from './old-sheets/understander.js';
export { ReturnedBookWork } from './returned-book-work.js';
export { type BookFiles, ReturnedBooksService } from './returned-books.service.js';
