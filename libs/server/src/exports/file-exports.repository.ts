import type { FileExport } from '@jarfold/contracts';
import type { GrowerTx } from '../platform/index.js';

export interface FileExportRow {
  readonly id: string;
  readonly kind: FileExport['kind'];
  readonly form: FileExport['form'];
  readonly state: FileExport['state'];
  readonly askedAt: Date;
  readonly askedBy: string;
  readonly readyAt: Date | null;
  readonly fileName: string;
  readonly outcome: { readonly done?: number; readonly total?: number; readonly result?: string };
}

const HEAD = {
  id: true,
  kind: true,
  form: true,
  state: true,
  askedAt: true,
  askedBy: true,
  readyAt: true,
  fileName: true,
  outcome: true,
} as const;

export async function insertExport(tx: GrowerTx, growerId: string, row: FileExportRow): Promise<void> {
  await tx.fileExport.create({ data: { growerId, ...row } });
}

/** Newest first. */
export async function listExports(
  tx: GrowerTx,
  growerId: string,
  kinds: readonly FileExportRow['kind'][],
): Promise<FileExportRow[]> {
  const rows = await tx.fileExport.findMany({
    where: { growerId, kind: { in: [...kinds] } },
    select: HEAD,
    orderBy: [{ askedAt: 'desc' }, { id: 'asc' }],
    take: 20,
  });
  return rows.map(headFrom);
}

export async function findExport(tx: GrowerTx, growerId: string, id: string): Promise<FileExportRow | null> {
  const row = await tx.fileExport.findUnique({ where: { growerId_id: { growerId, id } }, select: HEAD });
  return row === null ? null : headFrom(row);
}

export async function findExportBytes(tx: GrowerTx, growerId: string, id: string): Promise<Buffer | null> {
  const row = await tx.fileExport.findUnique({ where: { growerId_id: { growerId, id } }, select: { bytes: true } });
  return row?.bytes ? Buffer.from(row.bytes) : null;
}

/** @param bytes null for a file that is kept elsewhere */
export async function storeReady(
  tx: GrowerTx,
  growerId: string,
  id: string,
  { fileName, result, bytes }: { readonly fileName: string; readonly result: string; readonly bytes: Buffer | null },
  readyAt: Date,
): Promise<void> {
  await tx.fileExport.update({
    where: { growerId_id: { growerId, id } },
    data: {
      ...{ state: 'ready', readyAt, fileName, outcome: { result } },
      bytes: bytes === null ? null : new Uint8Array(bytes),
    },
  });
}

/** Files are large: what was asked for long ago is dropped, whatever became of it. */
export async function dropOldExports(tx: GrowerTx, growerId: string, before: Date): Promise<void> {
  await tx.fileExport.deleteMany({ where: { growerId, askedAt: { lt: before } } });
}

type HeadColumns = Pick<Awaited<ReturnType<GrowerTx['fileExport']['findFirstOrThrow']>>, keyof typeof HEAD>;

function headFrom(row: HeadColumns): FileExportRow {
  return {
    ...row,
    kind: row.kind as FileExportRow['kind'],
    form: row.form as FileExportRow['form'],
    state: row.state as FileExportRow['state'],
    outcome: row.outcome as FileExportRow['outcome'],
  };
}

export function exportJson({ id, kind, form, state, askedAt, readyAt, fileName, outcome }: FileExportRow): FileExport {
  return {
    ...{ id, kind, form, state, fileName },
    askedAt: askedAt.toISOString(),
    readyAt: readyAt?.toISOString() ?? null,
    progress: outcome.total === undefined ? null : { done: outcome.done ?? 0, total: outcome.total },
    result: outcome.result ?? null,
  };
}
