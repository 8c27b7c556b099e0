import {
  type BenchChangesQuery,
  benchChangesQuerySchema,
  benchChangesSchema,
  benchFactsSchema,
  benchJobsSchema,
  benchSnapshotSchema,
} from '@jarfold/contracts';
import { TabletService, type Tagged } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query, Res } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import { CurrentContext, Operation } from '../platform/index.js';

/** What a tablet keeps, so that the bench works without a network. */
@Controller('api/bench')
export class TabletController {
  constructor(private readonly tablet: TabletService) {}

  @Get('snapshot')
  @Operation({
    summary: 'The farm as a tablet keeps it, true at one position of the log',
    description:
      'Jars on hand and those gone in the last 30 days, with what they came from, packed by kind; lists, settings, ' +
      'people and the day’s jobs. Answers 304 to an If-None-Match with the tag it still has.',
    response: benchSnapshotSchema,
    problems: ['other-farm', 'protocol-unsupported'],
  })
  async snapshot(@CurrentContext() ctx: GrowerContext, @Res({ passthrough: true }) reply: FastifyReply) {
    return tagged(reply, await this.tablet.snapshot(ctx));
  }

  @Get('facts')
  @Operation({
    summary: 'The snapshot without the jars: what changes without an entry in the log',
    description: 'Answers 304 to an If-None-Match with the tag it still has.',
    response: benchFactsSchema,
    problems: ['other-farm', 'protocol-unsupported'],
  })
  async facts(@CurrentContext() ctx: GrowerContext, @Res({ passthrough: true }) reply: FastifyReply) {
    return tagged(reply, await this.tablet.facts(ctx));
  }

  @Get('changes')
  @Operation({
    summary: 'The present state of everything that entries after a position have touched',
    description:
      'Put in place of what the tablet has, it makes the tablet’s view the server’s at the answered position.',
    response: benchChangesSchema,
    problems: ['other-farm', 'protocol-unsupported'],
  })
  changes(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: benchChangesQuerySchema }) { after }: BenchChangesQuery,
  ) {
    return this.tablet.changes(ctx, after);
  }

  @Get('jobs')
  @Operation({ summary: 'The day’s jobs from the plan, and how far they are', response: benchJobsSchema })
  jobs(@CurrentContext() ctx: GrowerContext) {
    return this.tablet.jobs(ctx);
  }
}

function tagged<T>(reply: FastifyReply, { tag, body }: Tagged<T>): T {
  reply.header('etag', tag);
  return body;
}
