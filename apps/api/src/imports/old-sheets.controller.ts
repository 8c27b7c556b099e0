import {
  type BringIn,
  bringInSchema,
  type FileNameQuery,
  fileImportSchema,
  fileNameQuerySchema,
  idSchema,
  oldSheetsPreviewSchema,
  type SheetMappingBody,
  sheetMappingSchema,
  takenBackSchema,
} from '@jarfold/contracts';
import { OldSheetsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Param, Post, Put, Query } from '@nestjs/common';
import { FileBody } from '../platform/file-body.js';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from '../workbooks/send-file.js';

/** A farm's own old spreadsheets: asked about, shown, brought in at once, taken back at once. */
@Controller('api/imports/old-sheets')
export class OldSheetsController {
  constructor(private readonly sheets: OldSheetsService) {}

  @Post()
  @Operation({
    summary: 'Send an old spreadsheet (.xlsx or CSV) and see how it would be understood; nothing is changed',
    status: 201,
    response: oldSheetsPreviewSchema,
    minimumRole: 'lead',
  })
  upload(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: fileNameQuerySchema }) { name }: FileNameQuery,
    @FileBody() bytes: Buffer,
  ) {
    return this.sheets.upload(ctx, name, bytes);
  }

  @Get(':importId')
  @Operation({
    summary: 'An old spreadsheet as it would be brought in now: questions, counts, rows refused and why',
    response: oldSheetsPreviewSchema,
    minimumRole: 'lead',
    problems: ['not-found'],
  })
  preview(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.sheets.preview(ctx, importId);
  }

  @Get(':importId/marked-copy')
  @Operation({
    summary: 'The workbook that was sent in, with its refused cells listed in front and noted',
    status: 200,
    response: null,
    mediaType: XLSX_MEDIA_TYPE,
    minimumRole: 'lead',
    problems: ['not-found', 'rule-refused'],
  })
  async markedCopy(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return sendFile(await this.sheets.markedCopy(ctx, importId), XLSX_MEDIA_TYPE);
  }

  @Put(':importId/mapping')
  @Operation({
    summary: 'Say how an old spreadsheet is to be understood, and see what that would bring in',
    response: oldSheetsPreviewSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict'],
  })
  understand(
    @CurrentContext() ctx: GrowerContext,
    @Param('importId', { schema: idSchema }) importId: string,
    @Body({ schema: sheetMappingSchema }) body: SheetMappingBody,
  ) {
    return this.sheets.understand(ctx, importId, body);
  }

  @Post(':importId/bring-in')
  @Operation({
    summary: 'Bring an old spreadsheet in as it was shown, all of it or nothing; the worker does it',
    response: fileImportSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  bringIn(
    @CurrentContext() ctx: GrowerContext,
    @Param('importId', { schema: idSchema }) importId: string,
    @Body({ schema: bringInSchema }) body: BringIn,
  ) {
    return this.sheets.bringIn(ctx, importId, body);
  }

  @Post(':importId/take-back')
  @Operation({
    summary: 'Take back everything an old spreadsheet brought, by corrections; all of it or nothing',
    response: takenBackSchema,
    minimumRole: 'lead',
    problems: ['not-found', 'conflict', 'rule-refused'],
  })
  takeBack(@CurrentContext() ctx: GrowerContext, @Param('importId', { schema: idSchema }) importId: string) {
    return this.sheets.takeBack(ctx, importId);
  }
}
