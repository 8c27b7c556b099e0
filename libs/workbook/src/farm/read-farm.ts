import { type CalendarDay, defaultHorizonDays, type FarmSituation } from '@jarfold/domain';
import type { SheetCells, WorkbookCells } from '../cells/cell.js';
import type { WorkbookNotice, WorkbookProblem } from '../problem.js';
import type { Columns, SheetDefinition } from '../sheets/column.js';
import { farmSettings } from '../sheets/farm-settings.js';
import { findSheets } from '../sheets/find-sheet.js';
import { ProblemList } from '../sheets/problem-list.js';
import { readSettings } from '../sheets/read-settings.js';
import { readTable, type TableRow } from '../sheets/read-table.js';
import { costsOf, rhythmOf } from './farm-rhythm.js';
import { FARM_SHEET, type FarmRows, farmSheetNames, farmTables } from './farm-workbook.js';
import { inSheetOrder } from './problem-order.js';
import { readJars } from './read-jars.js';
import { readRooms, readSizes, readStrains } from './read-lists.js';
import { readRuns } from './read-runs.js';

/** What a farm workbook says: the planner's input, and the rows themselves for what the planner does not ask. */
export interface FarmWorkbook {
  readonly situation: FarmSituation;
  readonly rows: FarmRows;
  readonly notices: readonly WorkbookNotice[];
}

export type FarmReading =
  | { readonly ok: true; readonly farm: FarmWorkbook }
  | { readonly ok: false; readonly problems: readonly WorkbookProblem[]; readonly notices: readonly WorkbookNotice[] };

/**
 * Makes a farm's situation of the cells of its workbook. Nothing stops at the first problem: all of them come back,
 * each with sheet, cell, value, rule and advice, and then there is no situation.
 * @param planDay the day to plan for, once the farm's time zone is known (null: it gave none)
 */
export function readFarm(cells: WorkbookCells, planDay: (timeZone: string | null) => CalendarDay): FarmReading {
  const found = new ProblemList();
  const sheets = findSheets(cells, farmSheetNames, found);
  const settings = readFarmSettings(sheets[FARM_SHEET], found);
  const asOf = planDay(settings.timeZone);
  const tables = readTables(sheets, found);
  const sizes = readSizes(tables.sizes);
  const strains = readStrains(tables.strains, sizes.items[0]?.ripeGrams ?? null);
  const rooms = readRooms(tables.rooms);
  const stock = readJars(tables.jars ?? [], { strains, sizes, rooms, asOf }, found);
  const runs = readRuns(tables.runs ?? [], { strains, asOf, spawnMoisture: settings.spawnMoisture }, found);
  const { problems, notices } = found;
  if (problems.length > 0) return { ok: false, problems: inSheetOrder(problems), notices };
  const situation: FarmSituation = {
    asOf,
    horizonDays: settings.horizonDays ?? defaultHorizonDays,
    rhythm: rhythmOf(settings),
    costs: costsOf(settings),
    strains: strains.items,
    sizes: sizes.items,
    rooms: rooms.items,
    stock,
    runs,
  };
  return { ok: true, farm: { situation, rows: rowsOf(settings, tables), notices } };
}

function readFarmSettings(sheet: SheetCells | null, found: ProblemList) {
  const nothing: SheetCells = { name: FARM_SHEET, hidden: false, rows: [], merged: [] };
  // Without the sheet only that is reported, not each setting it lacks.
  return readSettings(sheet ?? nothing, farmSettings, sheet ? found : new ProblemList()).values;
}

type Tables = ReturnType<typeof readTables>;

function readTables(sheets: Readonly<Record<(typeof farmSheetNames)[number], SheetCells | null>>, found: ProblemList) {
  const { strainSheet, sizeSheet, jarSheet, runSheet, roomSheet } = farmTables;
  return {
    strains: table(sheets.Strains, strainSheet, found),
    sizes: table(sheets.Sizes, sizeSheet, found),
    jars: table(sheets.Jars, jarSheet, found),
    runs: table(sheets.Runs, runSheet, found),
    rooms: table(sheets.Rooms, roomSheet, found),
  };
}

function table<C extends Columns>(
  sheet: SheetCells | null,
  definition: SheetDefinition<C>,
  found: ProblemList,
): readonly TableRow<C>[] | null {
  return sheet && readTable(sheet, definition, found);
}

function rowsOf(farm: FarmRows['farm'], tables: Tables): FarmRows {
  const valuesOf = <V>(rows: readonly { readonly values: V }[] | null) => (rows ?? []).map(({ values }) => values);
  return {
    farm,
    strains: valuesOf(tables.strains),
    sizes: valuesOf(tables.sizes),
    jars: valuesOf(tables.jars),
    runs: valuesOf(tables.runs),
    rooms: valuesOf(tables.rooms),
  };
}
