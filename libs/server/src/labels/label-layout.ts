import type { LabelLayout } from '@jarfold/contracts';
import { AppError } from '../platform/index.js';

/** A grid of labels on a page. Millimetres, from the top left corner. */
export interface LabelGrid {
  readonly pageWidthMm: number;
  readonly pageHeightMm: number;
  readonly labelWidthMm: number;
  readonly labelHeightMm: number;
  readonly columns: number;
  readonly rows: number;
  readonly marginLeftMm: number;
  readonly marginTopMm: number;
  readonly gapXMm: number;
  readonly gapYMm: number;
}

export interface LabelPlace {
  /** From 0. */
  readonly page: number;
  readonly xMm: number;
  readonly yMm: number;
}

/** A page for each label, as a label printer takes them. */
export function singleLabel({
  labelWidthMm,
  labelHeightMm,
}: Pick<LabelGrid, 'labelWidthMm' | 'labelHeightMm'>): LabelGrid {
  return {
    ...{ pageWidthMm: labelWidthMm, pageHeightMm: labelHeightMm, labelWidthMm, labelHeightMm },
    ...{ columns: 1, rows: 1, marginLeftMm: 0, marginTopMm: 0, gapXMm: 0, gapYMm: 0 },
  };
}

/** The grid a layout comes to: of single labels each is a page. */
export function gridOf(layout: LabelLayout): LabelGrid {
  return layout.kind === 'single' ? singleLabel(layout) : layout;
}

/**
 * Where the labels stand, row by row.
 * @param skip places of the first page that are used already
 * @throws AppError `invalid-input` when the grid does not fit the page, or more is skipped than a page holds
 */
export function labelPlaces(grid: LabelGrid, count: number, skip: number): readonly LabelPlace[] {
  const { columns, rows, labelWidthMm, labelHeightMm, marginLeftMm, marginTopMm, gapXMm, gapYMm } = grid;
  const rightMm = marginLeftMm + columns * labelWidthMm + (columns - 1) * gapXMm;
  const bottomMm = marginTopMm + rows * labelHeightMm + (rows - 1) * gapYMm;
  if (rightMm > grid.pageWidthMm + ROUNDING_MM)
    throw unfit('columns', `the grid is ${tenths(rightMm)} mm wide, the page ${grid.pageWidthMm} mm`);
  if (bottomMm > grid.pageHeightMm + ROUNDING_MM)
    throw unfit('rows', `the grid is ${tenths(bottomMm)} mm high, the page ${grid.pageHeightMm} mm`);
  const perPage = columns * rows;
  if (skip >= perPage && skip > 0)
    throw unfit('skip', `a page has ${perPage} labels, so at most ${perPage - 1} can be used already`);
  return Array.from({ length: count }, (_, index) => {
    const at = skip + index;
    const onPage = at % perPage;
    return {
      page: Math.floor(at / perPage),
      xMm: marginLeftMm + (onPage % columns) * (labelWidthMm + gapXMm),
      yMm: marginTopMm + Math.floor(onPage / columns) * (labelHeightMm + gapYMm),
    };
  });
}

/** Sums of decimal millimetres are off by less than this. */
const ROUNDING_MM = 0.001;
const tenths = (mm: number): number => Math.round(mm * 10) / 10;

export function unfit(field: string, why: string): AppError {
  return new AppError('invalid-input', `The labels cannot be laid out: ${why}.`, {
    errors: [{ in: 'query', pointer: `/${field}`, detail: `${why.charAt(0).toUpperCase()}${why.slice(1)}.` }],
  });
}
