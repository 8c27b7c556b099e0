export { exampleFarm } from './examples/example-farm.js';
export { exampleKitchen } from './examples/example-kitchen.js';
export type { FarmRows } from './farm/farm-workbook.js';
export type { FarmReading, FarmWorkbook } from './farm/read-farm.js';
export { writeFarmWorkbook } from './farm/write-farm.js';
export { describeProblem, type WorkbookNotice, type WorkbookProblem, type WorkbookProblemCode } from './problem.js';
export { type PlanDay, readFarmWorkbook } from './read-farm-workbook.js';
