import {
  type AskFarmExport,
  askFarmExportSchema,
  fileExportListSchema,
  fileExportSchema,
  idSchema,
} from '@jarfold/contracts';
import { FileExportsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Post } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile } from '../workbooks/send-file.js';

/** Files made by the worker: asked for, told how far, stopped, given out. The whole farm among them: nobody is locked in. */
@Controller('api/exports')
export class ExportsController {
  constructor(private readonly exports: FileExportsService) {}

  @Get()
  @Operation({
    summary: 'Files that are being made or were, newest first; whole farms to an owner only',
    response: fileExportListSchema,
    minimumRole: 'lead',
  })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.exports.list(ctx);
  }

  @Post('farm')
  @Operation({
    summary: 'Ask the worker for the whole farm as lines of JSON, a workbook, or CSV files in a zip',
    status: 201,
    response: fileExportSchema,
    minimumRole: 'owner',
  })
  askFarm(@CurrentContext() ctx: GrowerContext, @Body({ schema: askFarmExportSchema }) { form }: AskFarmExport) {
    return this.exports.ask(ctx, 'whole-farm', form);
  }

  @Get(':exportId/file')
  @Operation({
    summary: 'A whole farm as a file, once it is ready',
    status: 200,
    response: null,
    mediaType: 'application/octet-stream',
    minimumRole: 'owner',
    problems: ['not-found', 'conflict'],
  })
  async file(@CurrentContext() ctx: GrowerContext, @Param('exportId', { schema: idSchema }) exportId: string) {
    return sendFile(await this.exports.file(ctx, exportId), 'application/octet-stream');
  }

  @Post(':exportId/cancel')
  @Operation({
    summary: 'Stop the making of a file',
    response: fileExportSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict'],
  })
  cancel(@CurrentContext() ctx: GrowerContext, @Param('exportId', { schema: idSchema }) exportId: string) {
    return this.exports.cancel(ctx, exportId);
  }
}
