export { bringFarmIn } from './bring-farm-in.js';
export { FARM_FORMAT, farmLines, parsedHead, type WholeFarm } from './farm-file.js';
export { FARM_TABLES, isEmptyFarm, NOT_EXPORTED } from './farm-tables.repository.js';
export { type FarmWriters, FileExporter, farmFileOf } from './file-exporter.js';
export { FileExportsService } from './file-exports.service.js';
export { WholeFarmService } from './whole-farm.service.js';
