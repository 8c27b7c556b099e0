import { GrainStockService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { PreparationController } from './preparation.controller.js';

@Module({
  controllers: [PreparationController],
  providers: [
    {
      provide: GrainStockService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new GrainStockService(db, clock),
    },
  ],
})
export class PreparationModule {}
