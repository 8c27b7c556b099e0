import { type FarmExportQuery, farmExportQuerySchema } from '@jarfold/contracts';
import { farmLines, WholeFarmService } from '@jarfold/server';
import type { GrowerContext } from '@jarfold/server/platform';
import { writeTablesCsv, writeTablesWorkbook } from '@jarfold/workbook';
import { Controller, Get, Query } from '@nestjs/common';
import { CurrentContext, Operation } from '../platform/index.js';
import { sendFile, XLSX_MEDIA_TYPE } from '../workbooks/send-file.js';

/** The whole farm as a file: nobody is locked in. */
@Controller('api/exports')
export class ExportsController {
  constructor(private readonly farms: WholeFarmService) {}

  @Get('farm')
  @Operation({
    summary: 'The whole farm as lines of JSON, a workbook, or CSV files in a zip',
    status: 200,
    response: null,
    mediaType: 'application/octet-stream',
    minimumRole: 'owner',
  })
  async farm(
    @CurrentContext() ctx: GrowerContext,
    @Query({ schema: farmExportQuerySchema }) { form }: FarmExportQuery,
  ) {
    const whole = await this.farms.read(ctx);
    const stem = `farm-${whole.madeAt.slice(0, 10)}`;
    if (form === 'xlsx') {
      const bytes = await writeTablesWorkbook(whole.tables, whole.farm.name);
      return sendFile({ fileName: `${stem}.xlsx`, bytes }, XLSX_MEDIA_TYPE);
    }
    if (form === 'csv') {
      return sendFile({ fileName: `${stem}-csv.zip`, bytes: await writeTablesCsv(whole.tables) }, 'application/zip');
    }
    const bytes = Buffer.from(`${[...farmLines(whole)].join('\n')}\n`);
    return sendFile({ fileName: `${stem}.jsonl`, bytes }, 'application/jsonl');
  }
}
