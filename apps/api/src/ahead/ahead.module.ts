import { AheadService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { AheadController } from './ahead.controller.js';

@Module({
  controllers: [AheadController],
  providers: [
    {
      provide: AheadService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new AheadService(db, clock),
    },
  ],
})
export class AheadModule {}
