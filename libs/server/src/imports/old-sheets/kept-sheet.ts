import type { FileProblem, SheetMapping, WrittenFile } from '@jarfold/domain';
import { AppError } from '../../platform/index.js';
import type { FileImportRow } from '../file-imports.repository.js';
import type { DryRun } from './dry-run.js';

/** A file of the farm's own, opened. */
export interface OpenedSheets {
  readonly file: WrittenFile;
  readonly opened:
    | { readonly kind: 'workbook' }
    | { readonly kind: 'text'; readonly encoding: string; readonly separator: string };
}

/** The file formats, which the service does not know: whoever starts it brings them. */
export type ReadOldSheets = (
  bytes: Buffer,
  name: string,
) => Promise<({ readonly ok: true } & OpenedSheets) | { readonly ok: false; readonly problem: FileProblem }>;

/** What is kept of a file beside its bytes. */
export interface OldSheetsContent {
  readonly mapping: SheetMapping;
  readonly remembered: boolean;
  readonly problem: FileProblem | null;
  /** Said by the person: rows that are refused stay out. */
  readonly withoutRefused?: boolean;
  /** What was shown when it was asked to be brought in. */
  readonly seen?: string;
  /** How often it was brought in and taken back. */
  readonly takenBack?: number;
  /** Of an applied file: marks of its rows without a code, and what it brought, to be taken back. */
  readonly marks?: readonly string[];
  readonly brought?: {
    readonly deviceId: string;
    readonly runs: readonly { readonly id: string; readonly revision: number }[];
  };
}

/** How many lots, jars, runs and harvests a dry run would bring. */
export const rowsOf = ({ settled }: DryRun): number =>
  settled.lots.reduce((sum, { jars }) => sum + jars.length, settled.lots.length) +
  settled.runs.length +
  settled.harvests.length;

/** @throws AppError `rule-refused` */
export function requireSomething({ understood, settled }: DryRun, withoutRefused: boolean): void {
  const { questions } = understood;
  if (questions.length > 0) {
    throw new AppError(
      'rule-refused',
      `${questions.length} questions about the file are still open: answer them first.`,
    );
  }
  const refused = understood.refused.length + settled.refused.length;
  if (refused > 0 && !withoutRefused) {
    throw new AppError(
      'rule-refused',
      `${refused} cells are refused: correct them in the file, or say that their rows stay out.`,
    );
  }
  if (settled.lots.length + settled.runs.length + settled.harvests.length === 0) {
    throw new AppError('rule-refused', 'The file says nothing that the farm does not have already.');
  }
}

export function requireOldSheets<Row extends FileImportRow & { readonly content: unknown }>(
  row: Row | null,
): { readonly row: Row; readonly content: OldSheetsContent } {
  if (row === null || row.kind !== 'old-records')
    throw new AppError('not-found', 'There is no such file on this farm.');
  return { row, content: row.content as OldSheetsContent };
}
