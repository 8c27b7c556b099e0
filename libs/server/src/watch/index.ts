export { WatchService } from './watch.service.js';
