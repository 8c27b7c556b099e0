import {
  type BenchBatch,
  type BenchChainQuery,
  type BenchPullQuery,
  benchActionSchema,
  benchBatchAnswerSchema,
  benchBatchSchema,
  benchChainQuerySchema,
  benchChainSchema,
  benchPullQuerySchema,
  benchPullSchema,
  MAX_ENTRIES_PER_CHAIN_WALK,
} from '@jarfold/contracts';
import { BenchService, type ResolvedDevice } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import { CurrentContext, CurrentDevice, Operation } from '../platform/index.js';

/** The bench log: tablets send what happened and read what happened elsewhere. */
@Controller('api/bench')
export class BenchController {
  constructor(private readonly bench: BenchService) {}

  @Post('entries')
  @Operation({
    summary: 'Record bench entries',
    description:
      'Entries of one device in the order of its own sequence. Each is answered by itself: applied, refused with its ' +
      'reason (and blocking nothing behind it), repeated when it was here before, or a gap when entries before it are ' +
      'missing. Sending anything again is safe. The payload of each kind is described by BenchAction. An enrolled ' +
      'tablet sends under its own device id only, and nobody else under that.',
    response: benchBatchAnswerSchema,
    problems: [
      'entry-differs',
      'sequence-spent',
      'device-revoked',
      'device-mismatch',
      'other-farm',
      'protocol-unsupported',
    ],
    alsoDescribes: [benchActionSchema],
    bench: true,
    device: 'noted',
  })
  record(
    @CurrentContext() ctx: GrowerContext,
    @CurrentDevice() device: ResolvedDevice | null,
    @Body({ schema: benchBatchSchema }) batch: BenchBatch,
  ) {
    return this.bench.record(ctx, batch, device?.growerId === ctx.growerId ? device.deviceId : null);
  }

  @Get('entries')
  @Operation({
    summary: 'Bench entries after a position, in order and without gaps',
    response: benchPullSchema,
  })
  pull(@CurrentContext() ctx: GrowerContext, @Query({ schema: benchPullQuerySchema }) query: BenchPullQuery) {
    return this.bench.pull(ctx, query);
  }

  @Get('chain')
  @Operation({
    summary: 'Whether the bench log is as it was recorded',
    description:
      'Walks the hash chain from the first entry, or from where an earlier answer stopped, and names the first fault, ' +
      'if there is one. One request looks at 20,000 entries at most.',
    response: benchChainSchema,
    minimumRole: 'lead',
  })
  chain(@CurrentContext() ctx: GrowerContext, @Query({ schema: benchChainQuerySchema }) part: BenchChainQuery) {
    return this.bench.verifyChain(ctx, { ...part, atMost: MAX_ENTRIES_PER_CHAIN_WALK });
  }
}
