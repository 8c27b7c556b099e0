import { FileExportsService } from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { ExportsController } from './exports.controller.js';

@Module({
  controllers: [ExportsController],
  providers: [
    {
      provide: FileExportsService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new FileExportsService(db, clock, systemIds),
    },
  ],
  exports: [FileExportsService],
})
export class ExportsModule {}
