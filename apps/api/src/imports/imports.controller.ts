import {
  type ApplyReturnedBook,
  applyReturnedBookSchema,
  type FileNameQuery,
  fileImportListSchema,
  fileImportSchema,
  fileNameQuerySchema,
  idSchema,
  returnedBookPreviewSchema,
} from '@jarfold/contracts';
import { ReturnedBooksService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { FileBody } from '../platform/file-body.js';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from '../workbooks/send-file.js';

/** Files that people send in: first a preview, then one transaction. */
@Controller('api/imports')
export class ImportsController {
  constructor(private readonly books: ReturnedBooksService) {}

  @Get()
  @Operation({ summary: 'Files that were sent in, newest first', response: fileImportListSchema })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.books.list(ctx);
  }

  @Post('workbook')
  @Operation({
    summary: 'Send a weekly workbook back and compare it with the farm; nothing is changed',
    status: 201,
    response: returnedBookPreviewSchema,
    minimumRole: 'lead',
  })
  upload(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: fileNameQuerySchema }) { name }: FileNameQuery,
    @FileBody() bytes: Buffer,
  ) {
    return this.books.upload(ctx, name, bytes);
  }

  @Get('workbook/:importId')
  @Operation({
    summary: 'A returned workbook compared with the farm as it is now',
    response: returnedBookPreviewSchema,
    problems: ['not-found'],
  })
  preview(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.books.preview(ctx, importId);
  }

  @Post('workbook/:importId/apply')
  @Operation({
    summary: 'Apply a returned workbook as it was shown, all of it or nothing; the worker does it',
    response: fileImportSchema,
    minimumRole: 'lead',
    problems: ['conflict', 'rule-refused'],
  })
  apply(
    @CurrentContext() ctx: GrowerContext,
    @Param('importId', { schema: idSchema }) importId: string,
    @Body({ schema: applyReturnedBookSchema }) body: ApplyReturnedBook,
  ) {
    return this.books.apply(ctx, importId, body);
  }

  @Get(':importId/marked-copy')
  @Operation({
    summary: 'The file that was sent in, with its mistakes listed in front and noted on their cells',
    status: 200,
    response: null,
    mediaType: XLSX_MEDIA_TYPE,
    minimumRole: 'lead',
    problems: ['not-found', 'rule-refused'],
  })
  async markedCopy(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return sendFile(await this.books.markedCopy(ctx, importId), XLSX_MEDIA_TYPE);
  }

  @Post(':importId/cancel')
  @Operation({
    summary: 'Put a file aside; nothing of it is applied',
    response: fileImportSchema,
    minimumRole: 'lead',
    problems: ['conflict'],
  })
  cancel(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.books.cancel(ctx, importId);
  }
}
