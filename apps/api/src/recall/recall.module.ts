import { RecallService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { RecallController } from './recall.controller.js';

@Module({
  controllers: [RecallController],
  providers: [
    {
      provide: RecallService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new RecallService(db, clock),
    },
  ],
})
export class RecallModule {}
