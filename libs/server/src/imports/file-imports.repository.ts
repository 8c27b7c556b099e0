import type { FileImport } from '@jarfold/contracts';
import { type GrowerTx, Prisma } from '../platform/index.js';

export type ImportKind = FileImport['kind'];
export type ImportState = FileImport['state'];

/** How far an import is, and what became of it. */
export interface ImportOutcome {
  readonly done?: number;
  readonly total?: number;
  readonly result?: string;
  /** What the rows of a returned workbook said when it was applied: what the next return of it is compared with. */
  readonly said?: Readonly<Record<string, Readonly<Record<string, string | number | boolean | null>>>>;
  readonly problems?: readonly unknown[];
}

export interface FileImportRow {
  readonly id: string;
  readonly kind: ImportKind;
  readonly fileName: string;
  readonly digest: string;
  readonly state: ImportState;
  readonly exportId: string | null;
  readonly uploadedAt: Date;
  readonly uploadedBy: string;
  readonly appliedAt: Date | null;
  readonly outcome: ImportOutcome;
}

const HEAD = {
  id: true,
  kind: true,
  fileName: true,
  digest: true,
  state: true,
  exportId: true,
  uploadedAt: true,
  uploadedBy: true,
  appliedAt: true,
  outcome: true,
} as const;

export async function insertImport(
  tx: GrowerTx,
  growerId: string,
  { bytes, content, outcome, ...row }: FileImportRow & { readonly bytes: Buffer; readonly content: unknown },
): Promise<void> {
  await tx.fileImport.create({
    data: { growerId, ...row, bytes: new Uint8Array(bytes), content: json(content), outcome: json(outcome) },
  });
}

export async function listImports(tx: GrowerTx, growerId: string): Promise<FileImportRow[]> {
  const rows = await tx.fileImport.findMany({
    where: { growerId },
    select: HEAD,
    orderBy: [{ uploadedAt: 'desc' }, { id: 'asc' }],
    take: 50,
  });
  return rows.map(headFrom);
}

export async function findImport(
  tx: GrowerTx,
  growerId: string,
  id: string,
): Promise<(FileImportRow & { readonly content: unknown }) | null> {
  const row = await tx.fileImport.findUnique({
    where: { growerId_id: { growerId, id } },
    select: { ...HEAD, content: true },
  });
  return row === null ? null : { ...headFrom(row), content: row.content };
}

export async function findImportBytes(tx: GrowerTx, growerId: string, id: string): Promise<Buffer | null> {
  const row = await tx.fileImport.findUnique({ where: { growerId_id: { growerId, id } }, select: { bytes: true } });
  return row === null ? null : Buffer.from(row.bytes);
}

/** What applied returns of one workbook said, oldest first. */
export async function appliedReturns(tx: GrowerTx, growerId: string, exportId: string): Promise<FileImportRow[]> {
  const rows = await tx.fileImport.findMany({
    where: { growerId, exportId, state: 'applied' },
    select: HEAD,
    orderBy: { appliedAt: 'asc' },
  });
  return rows.map(headFrom);
}

export async function updateImport(
  tx: GrowerTx,
  growerId: string,
  id: string,
  {
    outcome,
    content,
    ...changed
  }: Partial<Pick<FileImportRow, 'state' | 'appliedAt' | 'outcome'>> & { readonly content?: unknown },
): Promise<void> {
  await tx.fileImport.update({
    where: { growerId_id: { growerId, id } },
    data: {
      ...changed,
      ...(outcome === undefined ? {} : { outcome: json(outcome) }),
      ...(content === undefined ? {} : { content: json(content) }),
    },
  });
}

/** Holds the import's row until the transaction ends, so that it is applied once. */
export async function lockImport(tx: GrowerTx, growerId: string, id: string): Promise<void> {
  await tx.$queryRaw`SELECT id::text FROM file_import WHERE grower_id = ${growerId}::uuid AND id = ${id}::uuid FOR UPDATE`;
}

/** Files are large: what was settled long ago is dropped. */
export async function dropOldImports(tx: GrowerTx, growerId: string, before: Date): Promise<void> {
  const settled = { in: ['cancelled', 'failed', 'previewed'] };
  await tx.fileImport.deleteMany({ where: { growerId, state: settled, uploadedAt: { lt: before } } });
}

const json = (value: unknown) => JSON.parse(JSON.stringify(value)) as Prisma.InputJsonValue;

type HeadColumns = Pick<Awaited<ReturnType<GrowerTx['fileImport']['findFirstOrThrow']>>, keyof typeof HEAD>;

function headFrom(row: HeadColumns): FileImportRow {
  return {
    ...row,
    kind: row.kind as ImportKind,
    state: row.state as ImportState,
    outcome: row.outcome as ImportOutcome,
  };
}

export function importJson(row: FileImportRow): FileImport {
  const { id, kind, fileName, state, outcome } = row;
  return {
    ...{ id, kind, fileName, state },
    uploadedAt: row.uploadedAt.toISOString(),
    appliedAt: row.appliedAt?.toISOString() ?? null,
    progress: outcome.total === undefined ? null : { done: outcome.done ?? 0, total: outcome.total },
    result: outcome.result ?? null,
  };
}
