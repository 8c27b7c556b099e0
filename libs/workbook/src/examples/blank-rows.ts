import type { Columns, ValuesOf } from '../sheets/column.js';
import { farmSettings } from '../sheets/farm-settings.js';
import { jarSheet } from '../sheets/jar-columns.js';
import { roomSheet } from '../sheets/room-columns.js';
import { runSheet } from '../sheets/run-columns.js';
import { sizeSheet } from '../sheets/size-columns.js';
import { strainSheet } from '../sheets/strain-columns.js';

/** Fills in a row by part; every other cell stays blank. */
const filler =
  <C extends Columns>(columns: C) =>
  (values: Partial<ValuesOf<C>>): ValuesOf<C> => ({
    ...(Object.fromEntries(Object.keys(columns).map((key) => [key, null])) as ValuesOf<C>),
    ...values,
  });

export const farmRow = filler(farmSettings);
export const strainRow = filler(strainSheet.columns);
export const sizeRow = filler(sizeSheet.columns);
export const jarRow = filler(jarSheet.columns);
export const runRow = filler(runSheet.columns);
export const roomRow = filler(roomSheet.columns);
