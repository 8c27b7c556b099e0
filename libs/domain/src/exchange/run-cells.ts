import type { CalendarDay } from '../calendar/calendar-day.js';
import { type SpawnRateBasis, usualMoistures } from '../demand/index.js';
import { fractionToPercent, percentToFraction } from '../units/index.js';
import { cellText } from './cell-text.js';
import { cellNumber, type FileUnits, largeMass, largeMassInG } from './file-units.js';

/** What a cell of an editable table holds: a day is text as YYYY-MM-DD, several codes are parted by comma and space. */
export type CellValue = string | number | boolean | null;
export type CellValues = Readonly<Record<string, CellValue>>;

/** What a person states about a bulk run, with strains by their codes. */
export interface StatedRun {
  readonly name: string;
  readonly day: CalendarDay;
  /** Best first. */
  readonly strainCodes: readonly string[];
  readonly substrateWetG: number;
  readonly substrateMoisture: number | null;
  readonly spawnRate: number;
  readonly basis: SpawnRateBasis;
  readonly minShare: number;
  readonly maxShare: number;
  readonly priority: number;
  readonly slackDays: number;
  readonly note: string | null;
  readonly state: 'planned' | 'done' | 'cancelled';
}

/** The columns of a bulk run that a person may change in a workbook. */
export const runCellNames = [
  'name',
  'day',
  'strains',
  'substrate',
  'moisture',
  'spawnRate',
  'basis',
  'minimum',
  'maximum',
  'priority',
  'slackDays',
  'state',
  'note',
] as const;
export type RunCellName = (typeof runCellNames)[number];
export type RunCells = Readonly<Record<RunCellName, CellValue>>;

const percent = (share: number) => cellNumber(fractionToPercent(share));

/** A run as the cells of one row, in the grower's units. */
export function runCells(run: StatedRun, units: FileUnits): RunCells {
  return {
    name: cellText(run.name),
    day: run.day,
    strains: run.strainCodes.join(', '),
    substrate: largeMass(run.substrateWetG, units),
    moisture: run.substrateMoisture === null ? null : percent(run.substrateMoisture),
    spawnRate: percent(run.spawnRate),
    basis: run.basis,
    minimum: percent(run.minShare),
    maximum: percent(run.maxShare),
    priority: run.priority,
    slackDays: run.slackDays,
    state: run.state,
    note: run.note === null || cellText(run.note) === '' ? null : cellText(run.note),
  };
}

/** What some cells of a row say about a run, in canonical units. Only the cells given. */
export function runFromCells(cells: Partial<RunCells>, units: FileUnits): Partial<StatedRun> {
  const said: { -readonly [K in keyof StatedRun]?: StatedRun[K] } = {};
  const share = (value: CellValue) => cellNumber(percentToFraction(Number(value)));
  if (cells.name !== undefined) said.name = String(cells.name);
  if (cells.day !== undefined) said.day = cells.day as CalendarDay;
  if (cells.strains !== undefined)
    said.strainCodes = String(cells.strains ?? '')
      .split(', ')
      .filter(Boolean);
  if (cells.substrate !== undefined) said.substrateWetG = cellNumber(largeMassInG(Number(cells.substrate), units));
  if (cells.moisture !== undefined) said.substrateMoisture = cells.moisture === null ? null : share(cells.moisture);
  if (cells.spawnRate !== undefined) said.spawnRate = share(cells.spawnRate);
  if (cells.basis !== undefined) said.basis = cells.basis as SpawnRateBasis;
  if (cells.minimum !== undefined) said.minShare = share(cells.minimum);
  if (cells.maximum !== undefined) said.maxShare = share(cells.maximum);
  if (cells.priority !== undefined) said.priority = Number(cells.priority);
  if (cells.slackDays !== undefined) said.slackDays = Number(cells.slackDays);
  if (cells.state !== undefined) said.state = cells.state as StatedRun['state'];
  if (cells.note !== undefined) said.note = cells.note === null ? null : String(cells.note);
  return said;
}

/** Moisture in per cent that a run without its own is reckoned with, for the formulas of a workbook. */
export const usualSubstrateMoisturePercent = percent(usualMoistures.substrateMoisture);
export const usualSpawnMoisturePercent = percent(usualMoistures.spawnMoisture);
