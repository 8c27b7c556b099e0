import {
  type FileNameQuery,
  farmFilePreviewSchema,
  fileImportSchema,
  fileNameQuerySchema,
  idSchema,
} from '@jarfold/contracts';
import { FarmFilesService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Param, Post, Query } from '@nestjs/common';
import { FileBody } from '../platform/file-body.js';
import { CurrentContext, Operation } from '../platform/index.js';

/** A whole farm as a file, into a farm that is still empty. */
@Controller('api/imports/farm')
export class FarmFilesController {
  constructor(private readonly farms: FarmFilesService) {}

  @Post()
  @Operation({
    summary: 'Send a whole farm (lines of JSON, plain or gzip) and see what it holds; nothing is changed',
    status: 201,
    response: farmFilePreviewSchema,
    minimumRole: 'owner',
  })
  upload(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: fileNameQuerySchema }) { name }: FileNameQuery,
    @FileBody() bytes: Buffer,
  ) {
    return this.farms.upload(ctx, name, bytes);
  }

  @Get(':importId')
  @Operation({
    summary: 'A whole farm that was sent in: what it holds, and whether this farm is still empty',
    response: farmFilePreviewSchema,
    minimumRole: 'owner',
    problems: ['not-found'],
  })
  preview(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.farms.preview(ctx, importId);
  }

  @Post(':importId/bring-in')
  @Operation({
    summary: 'Bring a whole farm into this one, which is empty; all of it or nothing; the worker does it',
    response: fileImportSchema,
    minimumRole: 'owner',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  bringIn(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.farms.bringIn(ctx, importId);
  }
}
