export { CalendarFeedService } from './calendar-feed.service.js';
