export { TabletService, type Tagged } from './tablet.service.js';
