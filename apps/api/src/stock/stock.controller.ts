import {
  type AgeingQuery,
  ageingQuerySchema,
  ageingSchema,
  drawnRoomsSchema,
  idSchema,
  type JarQuery,
  jarDetailSchema,
  jarListSchema,
  jarQuerySchema,
  stockOverviewSchema,
} from '@jarfold/contracts';
import { StockService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Param, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** What is on hand. It changes through the bench log, so everything here only reads. */
@Controller('api/stock')
export class StockController {
  constructor(private readonly stock: StockService) {}

  @Get()
  @Operation({ summary: 'Stock by strain, generation, state and age', response: stockOverviewSchema })
  overview(@CurrentContext() ctx: GrowerContext) {
    return this.stock.overview(ctx);
  }

  @Get('jars')
  @Operation({ summary: 'Jars, page by page', response: jarListSchema })
  jars(@CurrentContext() ctx: GrowerContext, @Query({ schema: jarQuerySchema }) query: JarQuery) {
    return this.stock.jars(ctx, query);
  }

  @Get('jars/:jarId')
  @Operation({
    summary: 'One jar with its lineage and its log entries',
    response: jarDetailSchema,
    problems: ['not-found'],
  })
  jar(@CurrentContext() ctx: GrowerContext, @Param('jarId', { schema: idSchema }) jarId: string) {
    return this.stock.jar(ctx, jarId);
  }

  @Get('rooms')
  @Operation({ summary: 'Rooms and shelves with every jar on its place', response: drawnRoomsSchema })
  rooms(@CurrentContext() ctx: GrowerContext) {
    return this.stock.rooms(ctx);
  }

  @Get('ageing')
  @Operation({ summary: 'Ripe jars that will be too old soon, or are', response: ageingSchema })
  ageing(@CurrentContext() ctx: GrowerContext, @Query({ schema: ageingQuerySchema }) query: AgeingQuery) {
    return this.stock.ageing(ctx, query.days);
  }
}
