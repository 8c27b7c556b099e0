import { grainStockSchema, type NewGrainStockEntry, newGrainStockEntrySchema } from '@jarfold/contracts';
import { GrainStockService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Post } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** What the prep bench has. */
@Controller('api/preparation')
export class PreparationController {
  constructor(private readonly grain: GrainStockService) {}

  @Get('grain')
  @Operation({
    summary: 'Grain on hand, what the plan needs of it, and when it has to be bought',
    response: grainStockSchema,
  })
  stock(@CurrentContext() ctx: GrowerContext) {
    return this.grain.stock(ctx);
  }

  @Post('grain')
  @Operation({
    summary: 'Say how much grain was counted or bought',
    status: 201,
    response: grainStockSchema,
    problems: ['conflict'],
  })
  add(@CurrentContext() ctx: GrowerContext, @Body({ schema: newGrainStockEntrySchema }) body: NewGrainStockEntry) {
    return this.grain.add(ctx, body);
  }
}
