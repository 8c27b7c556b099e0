import type { Cell, MergedBlock, SheetCells } from '../cells/cell.js';

export interface MergedLookup {
  /** The cell whose value a block merged downwards spreads to this place, or null. */
  valueSpreadTo(column: number, row: number): Cell | null;
  /** Whether the place lies in a merged block, but not at its top left. */
  covers(column: number, row: number): boolean;
}

/**
 * A block merged downwards in one column means its value for every row it spans. One merged sideways holds a value for
 * its first column only: which of the others it was meant for cannot be known.
 */
export function mergedLookup(sheet: SheetCells): MergedLookup {
  const byLeft = new Map<number, MergedBlock[]>();
  for (const block of sheet.merged) byLeft.set(block.left, [...(byLeft.get(block.left) ?? []), block]);
  const tops = new Set(sheet.merged.map(({ top }) => top));
  const topRows = new Map(sheet.rows.filter(({ row }) => tops.has(row)).map((row) => [row.row, row]));
  return {
    valueSpreadTo(column, row) {
      const block = byLeft.get(column)?.find(({ top, bottom }) => row > top && row <= bottom);
      return (block && topRows.get(block.top)?.cells.find((cell) => cell.column === column)) ?? null;
    },
    covers: (column, row) => sheet.merged.some((block) => coversPlace(block, column, row)),
  };
}

const coversPlace = ({ top, left, bottom, right }: MergedBlock, column: number, row: number) =>
  row >= top && row <= bottom && column >= left && column <= right && (column !== left || row !== top);
