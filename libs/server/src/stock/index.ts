export { type FarmNames, placeOf, readFarmNames } from './farm-names.js';
export type { JarRow } from './jar-row.js';
export { jarJson } from './stock.mapper.js';
export { jarsByCodes, jarsByIds, listOnHand } from './stock.repository.js';
export { StockService } from './stock.service.js';
