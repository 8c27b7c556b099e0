import { type RecallQuery, recallQuerySchema, recallSchema } from '@jarfold/contracts';
import { RecallService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

@Controller('api/recall')
export class RecallController {
  constructor(private readonly recalls: RecallService) {}

  @Get()
  @Operation({
    summary: 'Every relative of a jar or a lot, where it stands, and what it went into',
    response: recallSchema,
    problems: ['not-found'],
  })
  recall(@CurrentContext() ctx: GrowerContext, @Query({ schema: recallQuerySchema }) query: RecallQuery) {
    return this.recalls.recall(ctx, query);
  }
}
