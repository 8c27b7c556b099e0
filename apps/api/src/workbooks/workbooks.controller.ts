import {
  type FileUnitsPatch,
  fileExportSchema,
  fileUnitsPatchSchema,
  fileUnitsSchema,
  idSchema,
  workbookFileListSchema,
} from '@jarfold/contracts';
import { FileExportsService, WorkbooksService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Patch, Post } from '@nestjs/common';
import { CurrentContext, IfMatchRevision, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from './send-file.js';

/** Weekly workbooks: made every week by the worker, and here on demand. */
@Controller('api/workbooks')
export class WorkbooksController {
  constructor(
    private readonly workbooks: WorkbooksService,
    private readonly exports: FileExportsService,
  ) {}

  @Get()
  @Operation({ summary: 'Weekly workbooks, newest first', response: workbookFileListSchema })
  list(@CurrentContext() ctx: GrowerContext) {
    return this.workbooks.list(ctx);
  }

  @Post()
  @Operation({
    summary:
      'Ask the worker for the workbook of the current week; once ready, it is among the workbooks by the same id',
    status: 201,
    response: fileExportSchema,
    minimumRole: 'lead',
  })
  make(@CurrentContext() ctx: GrowerContext) {
    return this.exports.ask(ctx, 'weekly-workbook', 'xlsx');
  }

  @Get('units')
  @Operation({ summary: 'How the farm’s files show quantities and days', response: fileUnitsSchema })
  units(@CurrentContext() ctx: GrowerContext) {
    return this.workbooks.units(ctx);
  }

  @Patch('units')
  @Operation({
    summary: 'Change how the farm’s files show quantities and days',
    response: fileUnitsSchema,
    minimumRole: 'lead',
  })
  changeUnits(
    @CurrentContext() ctx: GrowerContext,
    @IfMatchRevision() revision: number,
    @Body({ schema: fileUnitsPatchSchema }) body: FileUnitsPatch,
  ) {
    return this.workbooks.changeUnits(ctx, revision, body);
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
