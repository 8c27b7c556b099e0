import {
  type AcceptPlan,
  type Assurance,
  acceptPlanSchema,
  assuranceSchema,
  type ChangesQuery,
  changesQuerySchema,
  changesSinceSchema,
  newestReviewSchema,
  type PinnedStart,
  pinnedStartSchema,
  replannedSchema,
  type WhatIf,
  whatIfAnswerSchema,
  whatIfReadySchema,
  whatIfSchema,
} from '@jarfold/contracts';
import { PlanReviewService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Post, Put, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** Living with a plan: agreeing on it, holding starts, seeing what changed, asking what would be if. */
@Controller('api/plan')
export class PlanReviewController {
  constructor(private readonly reviews: PlanReviewService) {}

  @Get('review')
  @Operation({ summary: 'The newest plan to agree on: each start with its reasons', response: newestReviewSchema })
  review(@CurrentContext() ctx: GrowerContext) {
    return this.reviews.newest(ctx);
  }

  @Post('accept')
  @Operation({
    summary: 'Agree on the newest plan; once its grain is made, its starts change no more',
    response: newestReviewSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'rule-refused'],
  })
  accept(@CurrentContext() ctx: GrowerContext, @Body({ schema: acceptPlanSchema }) body: AcceptPlan) {
    return this.reviews.accept(ctx, body);
  }

  @Put('pins')
  @Operation({
    summary: 'Hold a start at a count through every replan, or let it go',
    response: replannedSchema,
    minimumRole: 'lead',
    problems: ['rule-refused', 'unavailable'],
  })
  pin(@CurrentContext() ctx: GrowerContext, @Body({ schema: pinnedStartSchema }) body: PinnedStart) {
    return this.reviews.pin(ctx, body);
  }

  @Put('assurance')
  @Operation({
    summary: 'How sure every run shall be covered',
    response: replannedSchema,
    minimumRole: 'lead',
    problems: ['rule-refused', 'unavailable'],
  })
  assure(@CurrentContext() ctx: GrowerContext, @Body({ schema: assuranceSchema }) { assurance }: Assurance) {
    return this.reviews.assure(ctx, assurance);
  }

  @Get('changes')
  @Operation({
    summary: 'What the newest plan does otherwise than an earlier one, and why',
    response: changesSinceSchema,
  })
  changes(@CurrentContext() ctx: GrowerContext, @Query({ schema: changesQuerySchema }) { days }: ChangesQuery) {
    return this.reviews.changes(ctx, days);
  }

  @Get('what-if')
  @Operation({
    summary: 'Get ready to answer what if; nothing is kept',
    description:
      'Answers once the plan that stands can be set beside what is supposed. The next question takes half as long.',
    response: whatIfReadySchema,
    problems: ['unavailable'],
  })
  readyForWhatIf(@CurrentContext() ctx: GrowerContext) {
    return this.reviews.readyForWhatIf(ctx);
  }

  @Post('what-if')
  @Operation({
    summary: 'The plan beside what it would be; nothing is kept',
    description: 'That somebody is away is supposed by a lead or an owner.',
    response: whatIfAnswerSchema,
    problems: ['role-too-low', 'rule-refused', 'unavailable'],
  })
  whatIf(@CurrentContext() ctx: GrowerContext, @Body({ schema: whatIfSchema }) body: WhatIf) {
    return this.reviews.whatIf(ctx, body);
  }
}
