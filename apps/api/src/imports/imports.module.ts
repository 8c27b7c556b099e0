import { FarmFilesService, OldSheetsService, ReturnedBooksService, understandInThread } from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { markProblems, readOldSheets, readWeeklyWorkbook } from '@jarfold/workbook';
import { Module } from '@nestjs/common';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { CLOCK } from '../platform/clock.js';
import { FarmFilesController } from './farm-files.controller.js';
import { ImportsController } from './imports.controller.js';
import { OldSheetsController } from './old-sheets.controller.js';

@Module({
  imports: [FarmServicesModule],
  controllers: [OldSheetsController, FarmFilesController, ImportsController],
  providers: [
    {
      provide: FarmFilesService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new FarmFilesService(db, clock, systemIds),
    },
    {
      provide: ReturnedBooksService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) =>
        new ReturnedBooksService(db, clock, systemIds, {
          read: (bytes) => readWeeklyWorkbook(bytes),
          mark: markProblems,
        }),
    },
    {
      provide: OldSheetsService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) =>
        new OldSheetsService(
          db,
          clock,
          systemIds,
          (bytes, name) => readOldSheets(bytes, name),
          markProblems,
          () => undefined,
          understandInThread,
        ),
    },
  ],
})
export class ImportsModule {}
