export { expiringWithin, type PlannedFate, plannedFateOf, stockTotals } from './ageing.js';
export { type AgeBand, type ContainerGroup, type StockRow, stockRows } from './stock-rows.js';
export {
  type ContainerDays,
  drawnShare,
  type Freshness,
  type LifeRules,
  type OnHandState,
  type StorageLife,
  storageLife,
  warmLifeFrom,
} from './storage-life.js';
