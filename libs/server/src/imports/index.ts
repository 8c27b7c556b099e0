export { type BringInWatch, type BroughtIn, OldSheetsBringer } from './old-sheets/bring-in.js';
export type { ReadOldSheets } from './old-sheets/kept-sheet.js';
export { OldSheetsService } from './old-sheets/old-sheets.service.js';
export { type BookFiles, ReturnedBooksService } from './returned-books.service.js';
