import {
  calendarFeedListSchema,
  calendarFeedSchema,
  calendarSecretSchema,
  idSchema,
  madeCalendarFeedSchema,
  type NewCalendarFeed,
  newCalendarFeedSchema,
} from '@jarfold/contracts';
import { CalendarFeedService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Post, StreamableFile } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

const CALENDAR_MEDIA_TYPE = 'text/calendar; charset=utf-8';

/** Calendar feeds: made and revoked by people who are signed in, read by calendar programs that know the address. */
@Controller('api')
export class CalendarFeedController {
  constructor(private readonly feeds: CalendarFeedService) {}

  @Get('calendar-feeds')
  @Operation({ summary: 'Calendar feeds of the farm and of oneself', response: calendarFeedListSchema })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.feeds.list(ctx);
  }

  @Post('calendar-feeds')
  @Operation({
    summary: 'Make a calendar feed; its secret address is told once',
    status: 201,
    response: madeCalendarFeedSchema,
    problems: ['role-too-low'],
  })
  add(@CurrentContext() ctx: GrowerContext, @Body({ schema: newCalendarFeedSchema }) body: NewCalendarFeed) {
    return this.feeds.add(ctx, body);
  }

  @Post('calendar-feeds/:feedId/revoke')
  @Operation({ summary: 'Revoke a calendar feed', response: calendarFeedSchema, problems: ['not-found'] })
  revoke(@CurrentContext() ctx: GrowerContext, @Param('feedId', { schema: idSchema }) feedId: string) {
    return this.feeds.revoke(ctx, feedId);
  }

  @Get('calendar/:growerId/:secret')
  @Operation({
    summary: 'The calendar at a secret address (RFC 5545)',
    status: 200,
    response: null,
    mediaType: 'text/calendar',
    public: true,
    problems: ['not-found'],
  })
  async read(
    @Param('growerId', { schema: idSchema }) growerId: string,
    @Param('secret', { schema: calendarSecretSchema }) secret: string,
  ) {
    const text = await this.feeds.read(growerId, secret);
    return new StreamableFile(Buffer.from(text), {
      type: CALENDAR_MEDIA_TYPE,
      disposition: 'inline; filename="jarfold.ics"',
    });
  }
}
