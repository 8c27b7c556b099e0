import type { FileProblem } from '@jarfold/domain';

/**
 * What is wrong with a workbook, told so that its owner can put it right: where, what was seen, what the rule is, what
 * to do. Every reader collects these and goes on, so that one pass finds everything.
 */
export interface WorkbookProblem extends FileProblem {
  readonly code: WorkbookProblemCode;
}

export type WorkbookProblemCode =
  | 'not-a-workbook'
  | 'empty-file'
  | 'old-format'
  | 'protected'
  | 'too-large'
  | 'dangerous-content'
  | 'damaged'
  | 'missing-sheet'
  | 'repeated-sheet'
  | 'missing-column'
  | 'repeated-column'
  | 'no-rows'
  | 'missing-value'
  | 'repeated-id'
  | 'repeated-setting'
  | 'unknown-name'
  | 'unknown-word'
  | 'not-a-number'
  | 'not-whole'
  | 'out-of-range'
  | 'ambiguous-number'
  | 'wrong-unit'
  | 'not-a-day'
  | 'ambiguous-day'
  | 'impossible-day'
  | 'formula-error'
  | 'formula-without-result'
  | 'not-text'
  | 'merged'
  | 'contradiction';

/** Something the reader did that its owner should know of, and that is no error. */
export interface WorkbookNotice {
  readonly sheet: string | null;
  readonly cell: string | null;
  readonly message: string;
}

/** A file that cannot be read at all: one problem, and nothing after it. */
export class UnreadableWorkbook extends Error {
  override readonly name = 'UnreadableWorkbook';
  readonly problem: WorkbookProblem;

  constructor(problem: WorkbookProblem) {
    super(`${problem.rule} ${problem.advice}`);
    this.problem = problem;
  }
}

/** Makes the problem of a whole file. */
export function unreadable(code: WorkbookProblemCode, rule: string, advice: string, value: string | null = null) {
  return new UnreadableWorkbook({ code, sheet: null, cell: null, column: null, value, rule, advice });
}

/** One line: `Jars!C7 "Blu": …` */
export function describeProblem({ sheet, cell, column, value, rule, advice }: WorkbookProblem): string {
  const place = sheet === null ? 'The file' : cell === null ? `Sheet ${sheet}` : `${sheet}!${cell}`;
  const heading = column === null ? '' : ` (${column})`;
  const seen = value === null ? '' : ` has "${value}"`;
  return `${place}${heading}${seen}: ${rule} ${advice}`.trimEnd();
}
