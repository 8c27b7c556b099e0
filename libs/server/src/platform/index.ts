export { requireNarrowRole } from './app-role.js';
export {
  countFromColumn,
  dayFromColumn,
  dayFromColumnOrNull,
  dayToColumn,
  dayToColumnOrNull,
  numberFromColumn,
  numberFromColumnOrNull,
} from './columns.js';
export { connectOrExplain, describeTarget } from './connection-trouble.js';
export { connectionTroubleLog, type SayTrouble } from './connection-trouble-log.js';
export { explainDatabaseError, sqlState } from './database-errors.js';
export { type DatabaseUrlSettings, type DatabaseUrls, databaseUrls } from './database-urls.js';
export {
  EMBEDDED_MAJOR_VERSION,
  type EmbeddedOptions,
  type EmbeddedPostgres,
  startEmbeddedPostgres,
} from './embedded-postgres.js';
export { loadEnv, type PlatformEnv, platformEnvSchema } from './env.js';
export { AppError, type AppErrorDetails } from './errors.js';
export { Prisma } from './generated/client.js';
export type { GrowerContext, StaffRole } from './grower-context.js';
export { GrowerDb, type GrowerTx } from './grower-db.js';
export { InTurn } from './in-turn.js';
export { KeptByFarm } from './kept-by-farm.js';
export { BEGIN_WHEN_TOLD, type LauncherWord, launcherWord } from './launcher-word.js';
export { type Listening, listen } from './listen.js';
export { createLog, type Log, type LogFields, type LogLevel, log } from './log.js';
export { isEmptyDatabase, type MigrateOptions, migrate, migrationsFolder, pendingMigrations } from './migrate.js';
export { openPlatform, type Platform, type PlatformOptions } from './open-platform.js';
export { PlatformDb, type PlatformTx } from './platform-db.js';
export { type Clock, type Ids, systemClock, systemIds, timeOrderedIds, uuidV7 } from './ports.js';
export { JOB_DEFAULTS, openQueues, type Queues, type WorkOptions } from './queues.js';
export { savepoint } from './savepoint.js';
export { SharedTurns } from './shared-turns.js';
export { StartUpError, type StartUpProblem } from './start-up-error.js';
export { stopOnSignals } from './stop-on-signals.js';
