import type { SpawnPlan } from '@jarfold/domain';
import type { FarmWorkbook } from '../farm/read-farm.js';
import { writeXlsx } from '../writing/write-xlsx.js';
import {
  moveSheet,
  noteSheet,
  preparationSheet,
  runSheetOf,
  startSheet,
  strandedSheet,
  useSheet,
  weekSheet,
} from './plan-sheets.js';

/** The plan as a workbook: this week first, then everything the plan says, one table to a sheet. */
export function writePlanWorkbook(plan: SpawnPlan, farm: FarmWorkbook): Promise<Buffer> {
  const sheets = [
    weekSheet(plan, farm),
    startSheet(plan),
    preparationSheet(plan, farm),
    useSheet(plan),
    runSheetOf(plan),
    strandedSheet(plan, farm),
    moveSheet(plan),
    noteSheet(plan, farm),
  ];
  return writeXlsx(sheets, `Spawn plan ${plan.asOf}`);
}
