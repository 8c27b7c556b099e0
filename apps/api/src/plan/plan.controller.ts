import {
  failedJobListSchema,
  failedJobSchema,
  idSchema,
  newestPlanSchema,
  replannedSchema,
  type WeekQuery,
  weekQuerySchema,
  weekSchema,
} from '@jarfold/contracts';
import { FailedJobsService, PlanService, WeekService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Param, Post, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** The plan, the week cut out of it, and the jobs that make plans. */
@Controller('api')
export class PlanController {
  constructor(
    private readonly plans: PlanService,
    private readonly weeks: WeekService,
    private readonly failedJobs: FailedJobsService,
  ) {}

  @Get('plan')
  @Operation({ summary: 'The newest plan whole', response: newestPlanSchema })
  newest(@CurrentContext() ctx: GrowerContext) {
    return this.plans.newest(ctx);
  }

  @Post('plan')
  @Operation({
    summary: 'Plan anew now; with no new facts the plan that stands is the answer',
    response: replannedSchema,
    minimumRole: 'lead',
    problems: ['rule-refused', 'unavailable'],
  })
  replan(@CurrentContext() ctx: GrowerContext) {
    return this.plans.replan(ctx);
  }

  @Get('week')
  @Operation({ summary: 'One week of the newest plan as work to do', response: weekSchema })
  week(@CurrentContext() ctx: GrowerContext, @Query({ schema: weekQuerySchema }) query: WeekQuery) {
    return this.weeks.week(ctx, query.week ?? null);
  }

  @Get('jobs/failed')
  @Operation({
    summary: 'Jobs of this farm that failed and will not be tried again by themselves',
    response: failedJobListSchema,
    minimumRole: 'lead',
  })
  failed(@CurrentContext() ctx: GrowerContext) {
    return this.failedJobs.list(ctx);
  }

  @Post('jobs/failed/:jobId/retry')
  @Operation({
    summary: 'Try a failed job once more',
    response: failedJobSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict'],
  })
  retry(@CurrentContext() ctx: GrowerContext, @Param('jobId', { schema: idSchema }) jobId: string) {
    return this.failedJobs.retry(ctx, jobId);
  }
}
