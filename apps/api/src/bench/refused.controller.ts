import {
  idSchema,
  refusedListSchema,
  type Settle,
  settledListSchema,
  settledSchema,
  settleSchema,
  unsettledSchema,
} from '@jarfold/contracts';
import { ConflictsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Post } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** Entries the rules refused, which somebody has to look at. */
@Controller('api/bench/refused')
export class RefusedController {
  constructor(private readonly conflicts: ConflictsService) {}

  @Get()
  @Operation({
    summary: 'Refused entries that nobody has settled, with what one tap can do about each',
    description: 'At most 200, the oldest first.',
    response: refusedListSchema,
  })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.conflicts.list(ctx);
  }

  @Get('settled')
  @Operation({
    summary: 'Refused entries settled within the last seven days, and who settled them how',
    description: 'The latest settlement first; looked for among the 200 newest refused entries.',
    response: settledListSchema,
  })
  settledLately(@CurrentContext() ctx: GrowerContext) {
    return this.conflicts.settledLately(ctx);
  }

  @Post(':entryId/settle')
  @Operation({
    summary: 'Settle a refused entry: take what is left, take another jar, try again, or drop it',
    description: 'Writes the entry that takes its place and the settlement to the log, both or neither.',
    response: settledSchema,
    minimumRole: 'lead',
    bench: true,
    problems: ['not-found', 'rule-refused'],
  })
  settle(
    @CurrentContext() ctx: GrowerContext,
    @Param('entryId', { schema: idSchema }) entryId: string,
    @Body({ schema: settleSchema }) settle: Settle,
  ) {
    return this.conflicts.settle(ctx, entryId, settle);
  }

  @Post(':entryId/unsettle')
  @Operation({
    summary: 'Take a settlement back: the refused entry waits to be looked at again',
    description: 'The entry that took its place is taken back too, both or neither.',
    response: unsettledSchema,
    minimumRole: 'lead',
    bench: true,
    problems: ['not-found', 'rule-refused'],
  })
  unsettle(@CurrentContext() ctx: GrowerContext, @Param('entryId', { schema: idSchema }) entryId: string) {
    return this.conflicts.unsettle(ctx, entryId);
  }
}
