export { type FarmNames, placeOf, readFarmNames } from './farm-names.js';
export type { JarRow } from './jar-row.js';
export { jarsByCodes, jarsByIds } from './stock.repository.js';
export { StockService } from './stock.service.js';
