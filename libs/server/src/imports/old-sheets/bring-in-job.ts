import type { FoundTable } from '@jarfold/domain';
import type { GrowerContext } from '../../platform/index.js';
import type { OldSheetsContent } from './kept-sheet.js';

/** A file that a person has said yes to, opened. */
export interface BringInJob {
  readonly ctx: GrowerContext & { readonly staffId: string };
  readonly importId: string;
  /** What every id that is made follows from; it differs each time the file is brought in after it was taken back. */
  readonly idsFrom: readonly (string | number)[];
  readonly fileName: string;
  readonly digest: string;
  readonly content: OldSheetsContent;
  readonly tables: readonly FoundTable[];
}
