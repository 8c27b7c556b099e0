import { CalendarFeedService } from '@jarfold/server';
import { type Clock, GrowerDb, systemIds } from '@jarfold/server/platform';
import { Module } from '@nestjs/common';
import { CLOCK } from '../platform/clock.js';
import { CalendarFeedController } from './calendar-feed.controller.js';

@Module({
  controllers: [CalendarFeedController],
  providers: [
    {
      provide: CalendarFeedService,
      inject: [GrowerDb, CLOCK],
      useFactory: (db: GrowerDb, clock: Clock) => new CalendarFeedService(db, clock, systemIds),
    },
  ],
})
export class CalendarFeedModule {}
