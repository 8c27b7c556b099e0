import { type TraceQuery, traceQuerySchema } from '@jarfold/contracts';
import { TraceabilityService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from '../workbooks/send-file.js';

const JSON_LD = 'application/ld+json';

/** Lot records, of one lot or a range of days. */
@Controller('api/traceability')
export class TraceabilityController {
  constructor(private readonly traces: TraceabilityService) {}

  @Get('lots')
  @Operation({
    summary: 'Lot records as a sheet to sort',
    status: 200,
    response: null,
    mediaType: XLSX_MEDIA_TYPE,
    problems: ['not-found', 'rule-refused'],
  })
  async lots(@CurrentContext() ctx: GrowerContext, @Query({ schema: traceQuerySchema }) query: TraceQuery) {
    return sendFile(await this.traces.sheet(ctx, query), XLSX_MEDIA_TYPE);
  }

  @Get('epcis')
  @Operation({
    summary: 'Lot records as an EPCIS 2.0 document (JSON-LD)',
    status: 200,
    response: null,
    mediaType: JSON_LD,
    problems: ['not-found', 'rule-refused'],
  })
  async epcis(@CurrentContext() ctx: GrowerContext, @Query({ schema: traceQuerySchema }) query: TraceQuery) {
    const bytes = Buffer.from(await this.traces.epcis(ctx, query));
    return sendFile({ fileName: 'lots-epcis.jsonld', bytes }, JSON_LD);
  }
}
