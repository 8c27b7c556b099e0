import { SterilisingService } from '@jarfold/server';
import { type Clock, GrowerDb } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { SterilisingController } from './sterilising.controller.js';

@Module({
  controllers: [SterilisingController],
  providers: [
    {
      provide: SterilisingService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new SterilisingService(db, clock),
    },
  ],
})
export class SterilisingModule {}
