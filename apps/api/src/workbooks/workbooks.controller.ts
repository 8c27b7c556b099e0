import { idSchema, workbookFileListSchema, workbookFileSchema } from '@jarfold/contracts';
import { WorkbooksService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Param, Post } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from './send-file.js';

/** Weekly workbooks: made every week by the worker, and here on demand. */
@Controller('api/workbooks')
export class WorkbooksController {
  constructor(private readonly workbooks: WorkbooksService) {}

  @Get()
  @Operation({ summary: 'Weekly workbooks, newest first', response: workbookFileListSchema })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.workbooks.list(ctx);
  }

  @Post()
  @Operation({
    summary: 'Make the workbook of the current week',
    status: 201,
    response: workbookFileSchema,
    minimumRole: 'lead',
  })
  make(@CurrentContext() ctx: GrowerContext) {
    return this.workbooks.make(ctx);
  }

  @Get(':workbookId/file')
  @Operation({
    summary: 'A weekly workbook as a file',
    status: 200,
    response: null,
    mediaType: XLSX_MEDIA_TYPE,
    problems: ['not-found'],
  })
  async file(@CurrentContext() ctx: GrowerContext, @Param('workbookId', { schema: idSchema }) workbookId: string) {
    return sendFile(await this.workbooks.file(ctx, workbookId), XLSX_MEDIA_TYPE);
  }
}
