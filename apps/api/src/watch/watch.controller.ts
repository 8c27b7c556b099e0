import { type SettledQuery, settledFlagsSchema, settledQuerySchema, watchSchema } from '@jarfold/contracts';
import { WatchService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query } from '@nestjs/common';
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

  @Get('settled')
  @Operation({
    summary: 'Flags that settled in the last weeks, because their cause is gone',
    response: settledFlagsSchema,
  })
  settled(@CurrentContext() ctx: GrowerContext, @Query({ schema: settledQuerySchema }) query: SettledQuery) {
    return this.watch.settled(ctx, query);
  }
}
