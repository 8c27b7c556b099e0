import {
  type AheadQuery,
  aheadQuerySchema,
  aheadSchema,
  type PromiseQuery,
  promiseQuerySchema,
  promiseSchema,
} from '@jarfold/contracts';
import { AheadService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

@Controller('api/ahead')
export class AheadController {
  constructor(private readonly service: AheadService) {}

  @Get()
  @Operation({
    summary: 'Expected harvest and spawn by week, each with its interval',
    description:
      'Harvest: runs made and planned, borne as this farm’s finished runs did. Spawn: forecast from the weeks behind, by the way of forecasting that erred least over them.',
    response: aheadSchema,
  })
  ahead(@CurrentContext() ctx: GrowerContext, @Query({ schema: aheadQuerySchema }) query: AheadQuery) {
    return this.service.ahead(ctx, query);
  }

  @Get('promise')
  @Operation({
    summary: 'What promised kilograms need in runs, substrate and spawn',
    response: promiseSchema,
    problems: ['not-found'],
  })
  promise(@CurrentContext() ctx: GrowerContext, @Query({ schema: promiseQuerySchema }) query: PromiseQuery) {
    return this.service.promise(ctx, query);
  }
}
