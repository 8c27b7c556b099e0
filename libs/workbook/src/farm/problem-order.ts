import { parseAddress } from '../cells/address.js';
import type { WorkbookProblem } from '../problem.js';
import { nameKey } from '../sheets/clean-text.js';
import { farmSheetNames } from './farm-workbook.js';

/** The order in which a person would go through the workbook: by sheet, row, column. */
export function inSheetOrder(problems: readonly WorkbookProblem[]): readonly WorkbookProblem[] {
  const order = farmSheetNames.map(nameKey);
  const place = ({ sheet, cell }: WorkbookProblem) => {
    const at = (cell && parseAddress(cell)) || { row: 0, column: 0 };
    return [sheet === null ? -1 : order.indexOf(nameKey(sheet)), at.row, at.column];
  };
  return problems
    .map((problem) => ({ problem, key: place(problem) }))
    .sort(
      (a, b) => a.key.map((value, index) => value - (b.key[index] ?? 0)).find((difference) => difference !== 0) ?? 0,
    )
    .map(({ problem }) => problem);
}
