export {
  type ActionToAppend,
  BenchService,
  type HistoryToImport,
  type ImportReport,
  SERVER_DEVICE,
} from './bench.service.js';
export type { RebuildReport } from './rebuild.js';
