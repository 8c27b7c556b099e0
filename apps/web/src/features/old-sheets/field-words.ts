import type { OldSheetsPreview } from '@jarfold/contracts';
import type { SheetField, SheetState, SheetUnit } from '@jarfold/domain';
import type { MessageKey } from '../../messages/translate.js';

export const FIELD_WORDS = {
  code: 'field.oldCode',
  lot: 'field.oldLot',
  count: 'field.oldCount',
  strain: 'field.oldStrain',
  generation: 'field.oldGeneration',
  size: 'field.oldSize',
  state: 'field.oldState',
  place: 'field.oldPlace',
  madeOn: 'field.oldMadeOn',
  ripeOn: 'field.oldRipeOn',
  chilledOn: 'field.oldChilledOn',
  openedOn: 'field.oldOpenedOn',
  goneOn: 'field.oldGoneOn',
  gramsLeft: 'field.oldGramsLeft',
  mother: 'field.oldMother',
  supplier: 'field.oldSupplier',
  temperature: 'field.oldTemperature',
  run: 'field.oldRun',
  day: 'field.oldDay',
  substrate: 'field.oldSubstrate',
  spawnRate: 'field.oldSpawnRate',
  mass: 'field.oldMass',
  flush: 'field.oldFlush',
  note: 'field.oldNote',
} as const satisfies Record<SheetField, MessageKey>;

export const UNIT_WORDS = {
  g: 'oldSheets.unit.g',
  kg: 'oldSheets.unit.kg',
  lb: 'oldSheets.unit.lb',
  oz: 'oldSheets.unit.oz',
  C: 'oldSheets.unit.C',
  F: 'oldSheets.unit.F',
} as const satisfies Record<SheetUnit, MessageKey>;

export const USE_WORDS = {
  jars: 'oldSheets.use.jars',
  runs: 'oldSheets.use.runs',
  harvests: 'oldSheets.use.harvests',
  'leave-out': 'oldSheets.use.leaveOut',
} as const satisfies Record<string, MessageKey>;

export const DAY_ORDER_WORDS = {
  'day-month-year': 'oldSheets.dayOrder.dmy',
  'month-day-year': 'oldSheets.dayOrder.mdy',
  'year-month-day': 'oldSheets.dayOrder.ymd',
} as const satisfies Record<string, MessageKey>;

export const MARK_WORDS = {
  point: 'oldSheets.mark.point',
  comma: 'oldSheets.mark.comma',
} as const satisfies Record<string, MessageKey>;

export const COUNT_WORDS = {
  '1900': 'oldSheets.count.1900',
  '1904': 'oldSheets.count.1904',
} as const satisfies Record<string, MessageKey>;

export const SHEET_STATE_WORDS = {
  incubating: 'oldSheets.means.incubating',
  ripe: 'oldSheets.means.ripe',
  chilled: 'oldSheets.means.chilled',
  opened: 'oldSheets.means.opened',
  'used-up': 'oldSheets.means.usedUp',
  contaminated: 'oldSheets.means.contaminated',
  discarded: 'oldSheets.means.discarded',
  'aged-out': 'oldSheets.means.agedOut',
  broken: 'oldSheets.means.broken',
} as const satisfies Record<SheetState, MessageKey>;

/** Days that nobody wrote, by the rule they were worked out by. */
export const WORKED_OUT_WORDS: Readonly<Record<string, MessageKey>> = {
  'ripe-day-worked-out': 'oldSheets.worked.ripe',
  'made-day-from-ripe-day': 'oldSheets.worked.made',
  'chilled-day-from-ripe-day': 'oldSheets.worked.chilled',
  'opened-day-is-today': 'oldSheets.worked.opened',
};

export const IMPORT_STATE_WORDS = {
  previewed: null,
  waiting: 'oldSheets.state.waiting',
  running: 'oldSheets.state.running',
  applied: 'oldSheets.state.applied',
  cancelled: 'oldSheets.state.cancelled',
  failed: 'oldSheets.state.failed',
} as const satisfies Record<OldSheetsPreview['import']['state'], MessageKey | null>;
