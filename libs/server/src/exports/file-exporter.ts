import { lookAgainAtExport } from '../jobs/index.js';
import type { Clock, GrowerDb } from '../platform/index.js';
import {
  beginFile,
  holdFile,
  lockFile,
  type Pace,
  Progress,
  Stopped,
  saidThatItFailed,
  type Told,
  tellProgress,
  usualPace,
} from '../under-way/index.js';
import type { WorkbooksService } from '../workbooks/index.js';
import { farmLines, type WholeFarm } from './farm-file.js';
import { type FileExportRow, findExport, storeReady } from './file-exports.repository.js';
import type { WholeFarmService } from './whole-farm.service.js';

/** File formats of a whole farm, which the service does not know: whoever starts it brings them. */
export interface FarmWriters {
  /** @param onRow told for each row that is written; what it throws ends the writing */
  readonly xlsx: (tables: WholeFarm['tables'], title: string, onRow: () => void) => Promise<Buffer>;
  readonly csv: (tables: WholeFarm['tables'], onRow: () => void) => Promise<Buffer>;
}

/** What became of the making of a file. */
export type Made = 'ready' | 'cancelled' | 'failed' | 'nothing-to-do';

const AGAIN = 'A fault stopped it. It is tried again; stop it if you like.';
const OVER = 'Faults stopped it again and again, and no file was made. Try again later.';

/** The worker's part of every export: makes a file that somebody asked for. Safe to do twice, and to begin anew. */
export class FileExporter {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly farms: WholeFarmService,
    private readonly workbooks: Pick<WorkbooksService, 'makeAsked'>,
    private readonly writers: FarmWriters,
    private readonly pace: Pace = usualPace,
  ) {}

  async make(growerId: string, exportId: string): Promise<Made> {
    const row = await this.#begin(growerId, exportId);
    if (row === null) return 'nothing-to-do';
    const progress = new Progress();
    const told: Told = { growerDb: this.growerDb, table: 'file_export', growerId, id: exportId, pace: this.pace };
    try {
      return await tellProgress(told, progress, () => this.#made(growerId, row, progress));
    } catch (error) {
      if (error instanceof Stopped) return 'cancelled';
      // The fault itself is what is thrown.
      if (await saidThatItFailed(told, { again: AGAIN, over: OVER })) return 'failed';
      throw error;
    }
  }

  #begin(growerId: string, exportId: string): Promise<FileExportRow | null> {
    return this.growerDb.run({ growerId }, async (tx) => {
      const begun = await beginFile(tx, 'file_export', growerId, exportId, this.pace, OVER);
      if (begun === 'elsewhere') await lookAgainAtExport(tx, { growerId }, exportId);
      return begun === 'begun' ? findExport(tx, growerId, exportId) : null;
    });
  }

  async #made(growerId: string, row: FileExportRow, progress: Progress): Promise<Made> {
    if (row.kind === 'weekly-workbook') return this.#makeWeekly(growerId, row, progress);
    const whole = await this.farms.read({ growerId }, progress, async (tx) => {
      // Marks who is at it; another worker that began as well makes the same file, and one of the two is kept.
      await holdFile(tx, row.id);
    });
    const bytes = await farmFileOf(whole, row.form, this.writers, progress);
    const rows = Object.values(whole.tables).reduce((sum, table) => sum + table.length, 0);
    const result = `${rows} rows, state ${whole.stateHash}.`;
    return this.#store(growerId, row.id, { fileName: farmFileName(whole, row.form), result, bytes });
  }

  async #makeWeekly(growerId: string, row: FileExportRow, progress: Progress): Promise<Made> {
    const ctx = { growerId, staffId: row.askedBy, role: null };
    const store = async (tx: Parameters<typeof lockFile>[0], fileName: string) => {
      if ((await lockFile(tx, 'file_export', growerId, row.id)) !== 'running') throw new Stopped();
      await storeReady(tx, growerId, row.id, { fileName, result: 'Ready.', bytes: null }, this.clock.now());
    };
    await this.workbooks.makeAsked(ctx, row.id, progress, store);
    return 'ready';
  }

  #store(
    growerId: string,
    id: string,
    file: { readonly fileName: string; readonly result: string; readonly bytes: Buffer },
  ): Promise<Made> {
    return this.growerDb.run({ growerId }, async (tx): Promise<Made> => {
      if ((await lockFile(tx, 'file_export', growerId, id)) !== 'running') throw new Stopped();
      await storeReady(tx, growerId, id, file, this.clock.now());
      return 'ready';
    });
  }
}

/** What a whole farm's file is called. */
export function farmFileName({ madeAt }: Pick<WholeFarm, 'madeAt'>, form: FileExportRow['form']): string {
  const stem = `farm-${madeAt.slice(0, 10)}`;
  return form === 'csv' ? `${stem}-csv.zip` : `${stem}.${form}`;
}

/** A whole farm as a file. @throws Stopped */
export function farmFileOf(
  whole: WholeFarm,
  form: FileExportRow['form'],
  writers: FarmWriters,
  progress: Progress,
): Promise<Buffer> | Buffer {
  const { done: read } = progress.now;
  let rows = 0;
  const onRow = () => progress.step(read + ++rows);
  if (form === 'xlsx') return writers.xlsx(whole.tables, whole.farm.name, onRow);
  if (form === 'csv') return writers.csv(whole.tables, onRow);
  const lines: string[] = [];
  for (const line of farmLines(whole)) {
    lines.push(line);
    onRow();
  }
  return Buffer.from(`${lines.join('\n')}\n`);
}
