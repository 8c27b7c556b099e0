import { RatesService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { RatesController } from './rates.controller.js';

@Module({
  controllers: [RatesController],
  providers: [
    {
      provide: RatesService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new RatesService(db, clock),
    },
  ],
})
export class RatesModule {}
