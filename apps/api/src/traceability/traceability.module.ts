import { TraceabilityService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { writeLotRecords } from '@jarfold/workbook';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { TraceabilityController } from './traceability.controller.js';

@Module({
  controllers: [TraceabilityController],
  providers: [
    {
      provide: TraceabilityService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new TraceabilityService(db, clock, writeLotRecords),
    },
  ],
})
export class TraceabilityModule {}
