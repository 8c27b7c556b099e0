import { type RecallQuery, recallQuerySchema, recallSchema } from '@jarfold/contracts';
import { RecallService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { recallFileName, writeRecallWorkbook } from '@jarfold/workbook';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from '../workbooks/send-file.js';

@Controller('api/recall')
export class RecallController {
  constructor(private readonly recalls: RecallService) {}

  @Get()
  @Operation({
    summary: 'Every relative of a jar or a lot, where it stands, and what it went into',
    response: recallSchema,
    problems: ['not-found'],
  })
  recall(@CurrentContext() ctx: GrowerContext, @Query({ schema: recallQuerySchema }) query: RecallQuery) {
    return this.recalls.recall(ctx, query);
  }

  @Get('workbook')
  @Operation({
    summary: 'The same as a workbook: relatives, balance, runs',
    status: 200,
    response: null,
    mediaType: XLSX_MEDIA_TYPE,
    problems: ['not-found'],
  })
  async workbook(@CurrentContext() ctx: GrowerContext, @Query({ schema: recallQuerySchema }) query: RecallQuery) {
    const recall = await this.recalls.recall(ctx, query);
    return sendFile({ fileName: recallFileName(recall), bytes: await writeRecallWorkbook(recall) }, XLSX_MEDIA_TYPE);
  }
}
