import {
  type BringInWatch,
  FarmFileWork,
  FileExporter,
  FileImporter,
  OldSheetsWork,
  ReturnedBookWork,
  WeekService,
  WholeFarmService,
  WorkbooksService,
} from '@jarfold/server';
import { type Clock, type GrowerDb, systemIds } from '@jarfold/server/platform';
import { readOldSheets, writeTablesCsv, writeTablesWorkbook, writeWeeklyWorkbook } from '@jarfold/workbook';

type Pace = ConstructorParameters<typeof FileImporter>[3];

/** What the worker brings files in with. */
export const fileImporter = (growerDb: GrowerDb, clock: Clock, watch: BringInWatch = {}, pace?: Pace) =>
  new FileImporter(
    growerDb,
    clock,
    {
      'old-records': new OldSheetsWork(clock, (bytes, name) => readOldSheets(bytes, name), watch),
      'weekly-workbook': new ReturnedBookWork(clock),
      'whole-farm': new FarmFileWork(),
    },
    pace,
  );

/** What the worker makes files with. @param beforeWriting done when everything is read and nothing written */
export function fileExporter(growerDb: GrowerDb, clock: Clock, beforeWriting = async () => {}) {
  const weeks = new WeekService(growerDb, clock);
  const workbooks = new WorkbooksService(growerDb, weeks, clock, systemIds, async (book, onRow) => {
    await beforeWriting();
    return writeWeeklyWorkbook(book, onRow);
  });
  const writers = { xlsx: writeTablesWorkbook, csv: writeTablesCsv };
  return new FileExporter(growerDb, clock, new WholeFarmService(growerDb, clock), workbooks, writers);
}
