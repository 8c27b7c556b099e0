import {
  ageingRatesSchema,
  type ContaminationQuery,
  contaminationQuerySchema,
  contaminationRatesSchema,
  growthRatesSchema,
  planningValuesSchema,
  type RatesQuery,
  ratesQuerySchema,
  yieldRatesSchema,
} from '@jarfold/contracts';
import { RatesService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** The farm's own numbers, with their uncertainty. They follow from the bench log, so everything here only reads. */
@Controller('api/rates')
export class RatesController {
  constructor(private readonly rates: RatesService) {}

  @Get('contamination')
  @Operation({
    summary: 'Contamination by strain, batch, cycle, mother, person and room, over time, and what explains it',
    description: 'Rates of other people are shown to the owner only.',
    response: contaminationRatesSchema,
    problems: ['not-found'],
  })
  contamination(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: contaminationQuerySchema }) query: ContaminationQuery,
  ) {
    return this.rates.contamination(ctx, query);
  }

  @Get('growth')
  @Operation({ summary: 'Days to ripe', response: growthRatesSchema, problems: ['not-found'] })
  growth(@CurrentContext() ctx: GrowerContext, @Query({ schema: ratesQuerySchema }) query: RatesQuery) {
    return this.rates.growth(ctx, query);
  }

  @Get('ageing')
  @Operation({ summary: 'How long chilled jars stay good', response: ageingRatesSchema, problems: ['not-found'] })
  ageing(@CurrentContext() ctx: GrowerContext, @Query({ schema: ratesQuerySchema }) query: RatesQuery) {
    return this.rates.ageing(ctx, query);
  }

  @Get('yield')
  @Operation({
    summary: 'Biological efficiency by run, strain and flush, beside the grams',
    response: yieldRatesSchema,
    problems: ['not-found'],
  })
  yield(@CurrentContext() ctx: GrowerContext, @Query({ schema: ratesQuerySchema }) query: RatesQuery) {
    return this.rates.yield(ctx, query);
  }

  @Get('planning')
  @Operation({
    summary: 'The values plans are made with now, and whether they are learned, published or the farm’s own',
    response: planningValuesSchema,
  })
  planning(@CurrentContext() ctx: GrowerContext) {
    return this.rates.planning(ctx);
  }
}
