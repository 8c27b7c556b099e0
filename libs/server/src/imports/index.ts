export { type BookFiles, ReturnedBooksService } from './returned-books.service.js';
