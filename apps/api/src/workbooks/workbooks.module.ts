import { WeekService, WorkbooksService } from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { writeWeeklyWorkbook } from '@jarfold/workbook';
import { Module } from '@nestjs/common';
import { ExportsModule } from '../exports/exports.module.js';
import { FarmServicesModule } from '../farm/farm-services.module.js';
import { CLOCK } from '../platform/clock.js';
import { WorkbooksController } from './workbooks.controller.js';

@Module({
  imports: [FarmServicesModule, ExportsModule],
  controllers: [WorkbooksController],
  providers: [
    {
      provide: WorkbooksService,
      inject: [GrowerDb, WeekService, CLOCK],
      useFactory: (db: GrowerDb, weeks: WeekService, clock: Clock) =>
        new WorkbooksService(db, weeks, clock, systemIds, writeWeeklyWorkbook),
    },
  ],
})
export class WorkbooksModule {}
