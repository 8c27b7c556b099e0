import { type LabelQuery, labelQuerySchema } from '@jarfold/contracts';
import { LabelsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query, StreamableFile } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';

/** Labels to print. */
@Controller('api/labels')
export class LabelsController {
  constructor(private readonly labels: LabelsService) {}

  @Get()
  @Operation({
    summary: 'Labels of a lot or of jars as PDF, on a grid or one a page',
    description: 'The QR symbol holds the code that is printed beside it, sign for sign.',
    status: 200,
    response: null,
    mediaType: 'application/pdf',
    problems: ['not-found', 'rule-refused'],
  })
  async pdf(@CurrentContext() ctx: GrowerContext, @Query({ schema: labelQuerySchema }) query: LabelQuery) {
    const { bytes, fileName } = await this.labels.pdf(ctx, query);
    const disposition = `inline; filename="${fileName}"`;
    return new StreamableFile(bytes, { type: 'application/pdf', disposition, length: bytes.length });
  }
}
