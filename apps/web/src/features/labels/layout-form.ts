import type { LabelLayout } from '@jarfold/contracts';
import { readNumber } from '../../ui/read-number.js';

/** Lengths and counts of a layout, in the order a person measures a sheet. */
export const LABEL_NUMBERS = ['labelWidthMm', 'labelHeightMm'] as const;
export const SHEET_NUMBERS = [
  ...(['pageWidthMm', 'pageHeightMm', 'columns', 'rows'] as const),
  ...(['marginLeftMm', 'marginTopMm', 'gapXMm', 'gapYMm'] as const),
] as const;
const NUMBERS = [...LABEL_NUMBERS, ...SHEET_NUMBERS];

export type LayoutNumber = (typeof NUMBERS)[number];
/** A layout as its boxes hold it. */
export type LayoutValues = Record<LayoutNumber, string> & { kind: LabelLayout['kind'] };

export function layoutValues(layout: LabelLayout): LayoutValues {
  const texts = Object.fromEntries(NUMBERS.map((name) => [name, String(layout[name])]));
  return { ...(texts as Record<LayoutNumber, string>), kind: layout.kind };
}

/** What the boxes say, ready for the contract's check. Of single labels the sheet's boxes keep what they were. */
export function layoutBody(before: LayoutValues, values: LayoutValues): Record<string, unknown> {
  const from = (name: LayoutNumber) =>
    values.kind === 'single' && (SHEET_NUMBERS as readonly string[]).includes(name) ? before[name] : values[name];
  const numbers = NUMBERS.map((name) => [name, readNumber(from(name)) ?? Number.NaN]);
  return { ...Object.fromEntries(numbers), kind: values.kind };
}
