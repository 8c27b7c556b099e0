import type { CalendarDay } from '@jarfold/domain';
import { dayFromColumn, dayToColumn, type GrowerTx } from '../platform/index.js';

/** A weekly workbook that was given out. */
export interface WorkbookFileRow {
  readonly id: string;
  readonly week: string;
  readonly asOf: CalendarDay;
  readonly reason: 'weekly' | 'asked';
  readonly madeAt: Date;
  readonly madeBy: string | null;
}

const HEAD = { id: true, week: true, asOf: true, reason: true, madeAt: true, madeBy: true } as const;

export async function listWorkbookFiles(tx: GrowerTx, growerId: string): Promise<WorkbookFileRow[]> {
  const rows = await tx.workbookFile.findMany({
    where: { growerId },
    select: HEAD,
    orderBy: [{ madeAt: 'desc' }, { id: 'asc' }],
    take: 100,
  });
  return rows.map(headFrom);
}

export async function findWorkbookFile(
  tx: GrowerTx,
  growerId: string,
  id: string,
): Promise<(WorkbookFileRow & { readonly bytes: Buffer }) | null> {
  const row = await tx.workbookFile.findUnique({ where: { growerId_id: { growerId, id } } });
  return row === null ? null : { ...headFrom(row), bytes: Buffer.from(row.bytes) };
}

/** Whether the worker has made the workbook of a week already: its job may be delivered twice. */
export async function hasWeeklyFile(tx: GrowerTx, growerId: string, week: string): Promise<boolean> {
  return (await tx.workbookFile.count({ where: { growerId, week, reason: 'weekly' } })) > 0;
}

/** Whether this workbook was given out and is still kept. */
export async function hasExport(tx: GrowerTx, growerId: string, id: string): Promise<boolean> {
  if (!/^[0-9a-f-]{36}$/i.test(id)) return false;
  return (await tx.workbookFile.count({ where: { growerId, id } })) > 0;
}

export async function insertWorkbookFile(
  tx: GrowerTx,
  growerId: string,
  { asOf, ...file }: WorkbookFileRow & { readonly bytes: Buffer },
): Promise<void> {
  const bytes = new Uint8Array(file.bytes);
  await tx.workbookFile.create({ data: { growerId, ...file, bytes, asOf: dayToColumn(asOf) } });
}

/** Drops all but the newest; a workbook older than that is told to be stale when it comes back. */
export async function keepNewestFiles(tx: GrowerTx, growerId: string, keep: number): Promise<void> {
  await tx.$executeRaw`
    DELETE FROM workbook_file WHERE grower_id = ${growerId}::uuid AND id IN (
      SELECT id FROM workbook_file WHERE grower_id = ${growerId}::uuid ORDER BY made_at DESC, id OFFSET ${keep})`;
}

type HeadColumns = Pick<Awaited<ReturnType<GrowerTx['workbookFile']['findFirstOrThrow']>>, keyof typeof HEAD>;

function headFrom(row: HeadColumns): WorkbookFileRow {
  const { id, week, madeAt, madeBy } = row;
  return { id, week, madeAt, madeBy, asOf: dayFromColumn(row.asOf), reason: row.reason as WorkbookFileRow['reason'] };
}
