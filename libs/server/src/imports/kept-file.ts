import { createHash } from 'node:crypto';
import type { GrowerContext, GrowerTx } from '../platform/index.js';
import { dropOldImports, type FileImportRow, insertImport } from './file-imports.repository.js';

const KEPT_UNSETTLED_DAYS = 30;
export const DAY_MS = 86_400_000;

interface SentFile extends Pick<FileImportRow, 'id' | 'kind' | 'fileName' | 'exportId' | 'uploadedAt' | 'uploadedBy'> {
  readonly bytes: Buffer;
  /** What was read from it, as JSON. */
  readonly content: unknown;
}

/** Keeps a file that was sent in, to be shown and decided on; what nobody decided on for a month makes room. */
export async function keepFile(tx: GrowerTx, growerId: string, file: SentFile): Promise<void> {
  await dropOldImports(tx, growerId, new Date(file.uploadedAt.getTime() - KEPT_UNSETTLED_DAYS * DAY_MS));
  await insertImport(tx, growerId, {
    ...file,
    digest: createHash('sha256').update(file.bytes).digest('hex'),
    ...{ state: 'previewed', appliedAt: null, outcome: {} },
  });
}

/** Who sent a file in. Only people do. */
export function requireStaff({ staffId }: GrowerContext): string {
  if (staffId === null) throw new TypeError('A file is sent in by somebody.');
  return staffId;
}

/** What the copy of a workbook is called that has its mistakes marked. `farm.xlsx` gives `farm-marked.xlsx`. */
export const markedName = (fileName: string): string => fileName.replace(/(\.xlsx)?$/i, '-marked.xlsx');
