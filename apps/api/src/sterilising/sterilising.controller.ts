import {
  type CycleDetailQuery,
  type CycleQuery,
  cycleDetailQuerySchema,
  cycleDetailSchema,
  cycleListSchema,
  cycleQuerySchema,
  type NewTrace,
  newTraceSchema,
} from '@jarfold/contracts';
import { SterilisingService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** Steriliser cycles and the heat they were. Cycles come from the bench log; only traces are attached here. */
@Controller('api/sterilising')
export class SterilisingController {
  constructor(private readonly sterilising: SterilisingService) {}

  @Get('cycles')
  @Operation({
    summary: 'Steriliser cycles, newest first, each with its verdict and the fate of its jars',
    response: cycleListSchema,
    problems: ['not-found'],
  })
  cycles(@CurrentContext() ctx: GrowerContext, @Query({ schema: cycleQuerySchema }) query: CycleQuery) {
    return this.sterilising.list(ctx, query);
  }

  @Get('cycle')
  @Operation({
    summary: 'One steriliser cycle: trace, F0, kill of named spores, verdict by its own method, lots and blanks',
    response: cycleDetailSchema,
    problems: ['not-found'],
  })
  cycle(@CurrentContext() ctx: GrowerContext, @Query({ schema: cycleDetailQuerySchema }) query: CycleDetailQuery) {
    return this.sterilising.one(ctx, query);
  }

  @Post('traces')
  @Operation({
    summary: 'Attach a temperature trace to a cycle, from a file or from entered readings',
    description: 'Append only: the trace attached last counts. The unit is declared or in the heading, never guessed.',
    status: 201,
    response: cycleDetailSchema,
    problems: ['not-found', 'conflict'],
  })
  attach(@CurrentContext() ctx: GrowerContext, @Body({ schema: newTraceSchema }) body: NewTrace) {
    return this.sterilising.attach(ctx, body);
  }
}
