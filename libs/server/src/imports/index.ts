export { type ReadWeekly, ReturnedBooksService } from './returned-books.service.js';
