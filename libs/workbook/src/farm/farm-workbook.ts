import type { ValuesOf } from '../sheets/column.js';
import type { FarmSettingValues } from '../sheets/farm-settings.js';
import { jarSheet } from '../sheets/jar-columns.js';
import { roomSheet } from '../sheets/room-columns.js';
import { runSheet } from '../sheets/run-columns.js';
import { sizeSheet } from '../sheets/size-columns.js';
import { strainSheet } from '../sheets/strain-columns.js';

export const FARM_SHEET = 'Farm';

/** Every sheet of a farm workbook, in the order it is written. */
export const farmTables = { strainSheet, sizeSheet, jarSheet, runSheet, roomSheet };

export const farmSheetNames = [
  FARM_SHEET,
  strainSheet.name,
  sizeSheet.name,
  jarSheet.name,
  runSheet.name,
  roomSheet.name,
] as const;

export type StrainValuesRow = ValuesOf<typeof strainSheet.columns>;
export type SizeValuesRow = ValuesOf<typeof sizeSheet.columns>;
export type JarValuesRow = ValuesOf<typeof jarSheet.columns>;
export type RunValuesRow = ValuesOf<typeof runSheet.columns>;
export type RoomValuesRow = ValuesOf<typeof roomSheet.columns>;

/** A farm workbook as plain values, null where a cell is blank: what is written, and what reading gives back. */
export interface FarmRows {
  readonly farm: FarmSettingValues;
  readonly strains: readonly StrainValuesRow[];
  readonly sizes: readonly SizeValuesRow[];
  readonly jars: readonly JarValuesRow[];
  readonly runs: readonly RunValuesRow[];
  readonly rooms: readonly RoomValuesRow[];
}
