import {
  FarmFileWork,
  FileExporter,
  FileImporter,
  OldSheetsWork,
  Planner,
  PlanService,
  ReturnedBookWork,
  WatchService,
  WeekService,
  WholeFarmService,
  WorkbooksService,
} from '@jarfold/server';
import { type Clock, type Log, type Platform, type Queues, systemIds } from '@jarfold/server/platform';
import { readOldSheets, writeTablesCsv, writeTablesWorkbook, writeWeeklyWorkbook } from '@jarfold/workbook';
import { type DynamicModule, Module } from '@nestjs/common';
import { FailedJobs } from './failed-jobs.js';
import { NightlySchedules } from './nightly-schedules.js';
import { OutboxRelay } from './outbox-relay.js';
import { processors } from './processors.js';
import type { WorkerEnv } from './settings.js';
import { WeeklySchedules } from './workbooks/weekly-schedules.js';
import { WorkerRuntime } from './worker-runtime.js';

export interface WorkerParts {
  readonly env: WorkerEnv;
  readonly platform: Platform;
  readonly queues: Queues;
  readonly clock: Clock;
  readonly log: Log;
}

@Module({})
export class WorkerModule {}

/** The worker: queues, schedules and the outbox relay around the same services the API uses. */
export function workerModule({ env, platform, queues, clock, log }: WorkerParts): DynamicModule {
  const { growerDb, platformDb } = platform;
  const planner = new Planner();
  const weeks = new WeekService(growerDb, clock);
  const workbooks = new WorkbooksService(growerDb, weeks, clock, systemIds, writeWeeklyWorkbook);
  const runtime = new WorkerRuntime({
    ...{ env, log, platformDb, queues, planner },
    processors: processors(
      new PlanService(growerDb, planner, clock),
      new WatchService(growerDb, clock),
      workbooks,
      new FileImporter(growerDb, clock, {
        'old-records': new OldSheetsWork(clock, (bytes, name) => readOldSheets(bytes, name)),
        'weekly-workbook': new ReturnedBookWork(clock),
        'whole-farm': new FarmFileWork(),
      }),
      new FileExporter(growerDb, clock, new WholeFarmService(growerDb, clock), workbooks, {
        xlsx: writeTablesWorkbook,
        csv: writeTablesCsv,
      }),
    ),
    relay: new OutboxRelay(platformDb, queues, clock, log),
    nightly: new NightlySchedules(platformDb, queues, log),
    weekly: new WeeklySchedules(platformDb, queues, log),
    failedJobs: new FailedJobs(platformDb, queues, clock, log),
  });
  return { module: WorkerModule, providers: [{ provide: WorkerRuntime, useValue: runtime }] };
}
