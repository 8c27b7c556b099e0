import { WatchService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { WatchController } from './watch.controller.js';

@Module({
  controllers: [WatchController],
  providers: [
    {
      provide: WatchService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new WatchService(db, clock),
    },
  ],
})
export class WatchModule {}
