import {
  type CancelRun,
  cancelRunSchema,
  idSchema,
  type NewRun,
  newRunSchema,
  type RunPatch,
  type RunQuery,
  runChangedSchema,
  runListSchema,
  runPatchSchema,
  runQuerySchema,
  runSchema,
} from '@jarfold/contracts';
import { RunsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Patch, Post, Query } from '@nestjs/common';
import { CurrentContext, IfMatchRevision, Operation } from '../platform/index.js';

/** Bulk runs. Every change plans anew before it is answered. */
@Controller('api/runs')
export class RunsController {
  constructor(private readonly runs: RunsService) {}

  @Get()
  @Operation({ summary: 'Runs with their coverage by the newest plan', response: runListSchema })
  list(@CurrentContext() ctx: GrowerContext, @Query({ schema: runQuerySchema }) query: RunQuery) {
    return this.runs.list(ctx, query);
  }

  @Get(':runId')
  @Operation({ summary: 'One run', response: runSchema, problems: ['not-found'] })
  one(@CurrentContext() ctx: GrowerContext, @Param('runId', { schema: idSchema }) runId: string) {
    return this.runs.one(ctx, runId);
  }

  @Post()
  @Operation({
    summary: 'Add a run and plan anew',
    status: 201,
    response: runChangedSchema,
    minimumRole: 'lead',
    problems: ['conflict', 'rule-refused'],
  })
  add(@CurrentContext() ctx: GrowerContext, @Body({ schema: newRunSchema }) body: NewRun) {
    return this.runs.add(ctx, body);
  }

  @Patch(':runId')
  @Operation({
    summary: 'Change a run and plan anew',
    response: runChangedSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'rule-refused'],
  })
  change(
    @CurrentContext() ctx: GrowerContext,
    @Param('runId', { schema: idSchema }) runId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: runPatchSchema }) body: RunPatch,
  ) {
    return this.runs.change(ctx, runId, revision, body);
  }

  @Post(':runId/cancel')
  @Operation({
    summary: 'Cancel a run, keep it as cancelled, and plan anew',
    response: runChangedSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'rule-refused'],
  })
  cancel(
    @CurrentContext() ctx: GrowerContext,
    @Param('runId', { schema: idSchema }) runId: string,
    @IfMatchRevision() revision: number,
    @Body({ schema: cancelRunSchema }) body: CancelRun,
  ) {
    return this.runs.cancel(ctx, runId, revision, body.reason ?? null);
  }
}
