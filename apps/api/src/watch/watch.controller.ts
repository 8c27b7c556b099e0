import {
  type FlagSeen,
  flagSchema,
  flagSeenSchema,
  idSchema,
  type SettledQuery,
  settledFlagsSchema,
  settledQuerySchema,
  watchSchema,
} from '@jarfold/contracts';
import { WatchService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Put, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

@Controller('api/watch')
export class WatchController {
  constructor(private readonly watch: WatchService) {}

  @Get()
  @Operation({
    summary: 'What the farm should look at',
    description: 'Flags are raised and settled by the worker, each night and after entries that matter.',
    response: watchSchema,
  })
  standing(@CurrentContext() ctx: GrowerContext) {
    return this.watch.standing(ctx);
  }

  @Put(':flagId/seen')
  @Operation({
    summary: 'Mark a flag as seen, or take the mark back',
    description: 'It says who looked and when. The flag stands until its cause is gone.',
    response: flagSchema,
    minimumRole: 'lead',
    problems: ['not-found'],
  })
  see(
    @CurrentContext() ctx: GrowerContext,
    @Param('flagId', { schema: idSchema }) flagId: string,
    @Body({ schema: flagSeenSchema }) body: FlagSeen,
  ) {
    return this.watch.see(ctx, flagId, body);
  }

  @Get('settled')
  @Operation({
    summary: 'Flags that settled in the last weeks, because their cause is gone',
    response: settledFlagsSchema,
  })
  settled(@CurrentContext() ctx: GrowerContext, @Query({ schema: settledQuerySchema }) query: SettledQuery) {
    return this.watch.settled(ctx, query);
  }
}
