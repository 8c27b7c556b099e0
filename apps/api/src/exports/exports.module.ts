import { WholeFarmService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { ExportsController } from './exports.controller.js';

@Module({
  controllers: [ExportsController],
  providers: [
    {
      provide: WholeFarmService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new WholeFarmService(db, clock),
    },
  ],
})
export class ExportsModule {}
