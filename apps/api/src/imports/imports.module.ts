import { ReturnedBooksService } from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { markProblems, readWeeklyWorkbook } from '@jarfold/workbook';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { ImportsController } from './imports.controller.js';

@Module({
  controllers: [ImportsController],
  providers: [
    {
      provide: ReturnedBooksService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) =>
        new ReturnedBooksService(db, clock, systemIds, {
          read: (bytes) => readWeeklyWorkbook(bytes),
          mark: markProblems,
        }),
    },
  ],
})
export class ImportsModule {}
