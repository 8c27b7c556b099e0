import type { WorkbookNotice, WorkbookProblem } from '../problem.js';

/** Collects what is wrong and what was done, so that one pass finds everything. */
export class ProblemList {
  readonly problems: WorkbookProblem[] = [];
  readonly notices: WorkbookNotice[] = [];

  add(problem: WorkbookProblem): void {
    this.problems.push(problem);
  }

  note(sheet: string | null, cell: string | null, message: string): void {
    this.notices.push({ sheet, cell, message });
  }
}
