import type { FileExport, FileExportList } from '@jarfold/contracts';
import { enqueueFileExport } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type Ids } from '../platform/index.js';
import { lockFile, settleFile } from '../under-way/index.js';
import {
  dropOldExports,
  exportJson,
  type FileExportRow,
  findExport,
  findExportBytes,
  insertExport,
  listExports,
} from './file-exports.repository.js';

const KEPT_MS = 7 * 86_400_000;

/** Files that somebody asked for: made by the worker, told how far, stopped when wanted, kept for a week. */
export class FileExportsService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
  ) {}

  /** Whole farms are shown to an owner only. */
  async list(ctx: GrowerContext): Promise<FileExportList> {
    const rows = await this.growerDb.read(ctx, (tx) => listExports(tx, ctx.growerId, kindsOf(ctx)));
    return { items: rows.map(exportJson) };
  }

  /** Asks the worker for a file. */
  async ask(ctx: GrowerContext, kind: FileExportRow['kind'], form: FileExportRow['form']): Promise<FileExport> {
    const askedAt = this.clock.now();
    const row: FileExportRow = {
      ...{ id: this.ids.next(), kind, form, state: 'waiting', askedAt, askedBy: requireStaff(ctx), readyAt: null },
      ...{ fileName: '', outcome: { result: 'Waiting for the worker.' } },
    };
    await this.growerDb.run(ctx, async (tx) => {
      await dropOldExports(tx, ctx.growerId, new Date(askedAt.getTime() - KEPT_MS));
      await insertExport(tx, ctx.growerId, row);
      await enqueueFileExport(tx, ctx, row.id);
    });
    return exportJson(row);
  }

  /** @throws AppError `not-found`, `conflict` for one that is not ready */
  async file(ctx: GrowerContext, id: string): Promise<{ readonly fileName: string; readonly bytes: Buffer }> {
    return this.growerDb.read(ctx, async (tx) => {
      const row = requireShown(ctx, await findExport(tx, ctx.growerId, id));
      const bytes = await findExportBytes(tx, ctx.growerId, id);
      if (bytes === null) throw new AppError('conflict', `This file is ${row.state}, so there is nothing to give out.`);
      return { fileName: row.fileName, bytes };
    });
  }

  /** @throws AppError `not-found`, `conflict` for one that is ready */
  async cancel(ctx: GrowerContext, id: string): Promise<FileExport> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFile(tx, 'file_export', ctx.growerId, id);
      const row = requireShown(ctx, await findExport(tx, ctx.growerId, id));
      if (row.state === 'ready') throw new AppError('conflict', 'This file is ready already.');
      const result = 'Stopped; no file was made.';
      if (row.state === 'failed' || row.state === 'cancelled') return exportJson(row);
      await settleFile(tx, 'file_export', ctx.growerId, id, 'cancelled', result);
      return exportJson({ ...row, state: 'cancelled', outcome: { result } });
    });
  }
}

const kindsOf = ({ role }: GrowerContext): readonly FileExportRow['kind'][] =>
  role === 'owner' ? ['whole-farm', 'weekly-workbook'] : ['weekly-workbook'];

function requireShown(ctx: GrowerContext, row: FileExportRow | null): FileExportRow {
  if (row !== null && kindsOf(ctx).includes(row.kind)) return row;
  throw new AppError('not-found', 'There is no such file on this farm; they are dropped after a week.');
}

function requireStaff({ staffId }: GrowerContext): string {
  if (staffId === null) throw new TypeError('A file is asked for by somebody.');
  return staffId;
}
