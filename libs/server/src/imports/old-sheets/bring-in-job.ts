import type { FoundTable } from '@jarfold/domain';
import type { GrowerContext } from '../../platform/index.js';
import type { OldSheetsContent } from './kept-sheet.js';

/** A file that a person has said yes to, opened. */
export interface BringInJob {
  readonly ctx: GrowerContext & { readonly staffId: string };
  readonly importId: string;
  readonly fileName: string;
  readonly digest: string;
  readonly content: OldSheetsContent;
  readonly tables: readonly FoundTable[];
}
