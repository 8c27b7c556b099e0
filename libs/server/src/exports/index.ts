export { FARM_TABLES, NOT_EXPORTED } from './farm-tables.repository.js';
export { FARM_FORMAT, farmLines, type WholeFarm, WholeFarmService } from './whole-farm.service.js';
