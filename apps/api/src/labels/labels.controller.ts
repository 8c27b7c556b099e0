import { type LabelLayout, type LabelQuery, labelLayoutSchema, labelQuerySchema } from '@jarfold/contracts';
import { LabelsService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Body, Controller, Get, Put, Query, StreamableFile } from '@nestjs/common';
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

  @Get('layout')
  @Operation({
    summary: 'How the farm’s labels lie on what its printer takes',
    response: labelLayoutSchema,
  })
  layout(@CurrentContext() ctx: GrowerContext) {
    return this.labels.layout(ctx);
  }

  @Put('layout')
  @Operation({
    summary: 'Set how the farm’s labels lie',
    description: 'A layout that does not fit its page, or a label too small for a usual code, is refused by how much.',
    status: 200,
    response: labelLayoutSchema,
    minimumRole: 'lead',
  })
  setLayout(@CurrentContext() ctx: GrowerContext, @Body({ schema: labelLayoutSchema }) layout: LabelLayout) {
    return this.labels.setLayout(ctx, layout);
  }
}
