import type { FileUnitsJson, FileUnitsPatch, WorkbookFile, WorkbookFileList } from '@jarfold/contracts';
import { calendarDayAt, type WeeklyBook } from '@jarfold/domain';
import { lockFarm, merged, readSettings } from '../farm/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, type Ids } from '../platform/index.js';
import { Progress } from '../under-way/index.js';
import type { WeekService } from '../week/index.js';
import { readFileUnits, type StoredFileUnits, writeFileUnits } from './file-units.repository.js';
import { gatherBook } from './gather-book.js';
import { cutToWeek, type FarmWeek, farmWeek, isoWeeksOf } from './week-range.js';
import {
  findWorkbookFile,
  hasWeeklyFile,
  insertWorkbookFile,
  keepNewestFiles,
  listWorkbookFiles,
  type WorkbookFileRow,
} from './workbook-files.repository.js';

/**
 * Writes a book as a file. The service knows no file format: whoever starts it brings one.
 * @param onRow told for each row that is written; what it throws ends the writing
 */
export type WriteWeekly = (book: WeeklyBook, onRow?: () => void) => Promise<Buffer>;

/** A year of weekly ones, and as many again that were asked for. */
const FILES_KEPT = 104;

export interface FileToSend {
  readonly fileName: string;
  readonly bytes: Buffer;
}

/** Weekly workbooks: made every week and on demand, kept, and given out. */
export class WorkbooksService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly weeks: Pick<WeekService, 'week'>,
    private readonly clock: Clock,
    private readonly ids: Ids,
    private readonly write: WriteWeekly,
  ) {}

  async list(ctx: GrowerContext): Promise<WorkbookFileList> {
    const rows = await this.growerDb.read(ctx, (tx) => listWorkbookFiles(tx, ctx.growerId));
    return { items: rows.map(fileJson) };
  }

  async units(ctx: GrowerContext): Promise<FileUnitsJson> {
    return this.growerDb.read(ctx, (tx) => readFileUnits(tx, ctx.growerId));
  }

  /** @throws AppError `revision-stale` */
  async changeUnits(ctx: GrowerContext, revision: number, patch: FileUnitsPatch): Promise<FileUnitsJson> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockFarm(tx, ctx.growerId);
      const stored = await readFileUnits(tx, ctx.growerId);
      if (stored.revision !== revision) throw new AppError('revision-stale');
      const changed = merged<StoredFileUnits>({ ...stored, revision: revision + 1 }, patch);
      await writeFileUnits(tx, ctx.growerId, changed);
      return changed;
    });
  }

  /** @throws AppError `not-found` */
  async file(ctx: GrowerContext, id: string): Promise<FileToSend> {
    const row = await this.growerDb.read(ctx, (tx) => findWorkbookFile(tx, ctx.growerId, id));
    if (row === null) throw new AppError('not-found', 'There is no such workbook on this farm; old ones are dropped.');
    return { fileName: fileNameOf(row), bytes: row.bytes };
  }

  /** Makes the workbook of the current week from the newest plan, and keeps it. @throws Stopped */
  async make(ctx: GrowerContext, progress = new Progress()): Promise<WorkbookFile> {
    return fileJson(await this.#made(ctx, { id: this.ids.next(), reason: 'asked', progress }));
  }

  /**
   * The same for somebody who waits for it.
   * @param whenKept done in the transaction that keeps the file; what it throws keeps it from being kept
   * @throws Stopped
   */
  async makeAsked(
    ctx: GrowerContext,
    id: string,
    progress: Progress,
    whenKept: (tx: GrowerTx, fileName: string) => Promise<void>,
  ): Promise<void> {
    await this.#made(ctx, { id, reason: 'asked', progress, whenKept });
  }

  /** The week's workbook unless it was made already: safe to do twice. */
  async makeWeekly(ctx: GrowerContext): Promise<{ readonly week: string; readonly made: boolean }> {
    const known = await this.growerDb.read(ctx, async (tx) => {
      const { label } = await this.#farmWeek(tx, ctx);
      return { label, made: await hasWeeklyFile(tx, ctx.growerId, label) };
    });
    if (!known.made) await this.#made(ctx, { id: this.ids.next(), reason: 'weekly', progress: new Progress() });
    return { week: known.label, made: !known.made };
  }

  async #farmWeek(tx: GrowerTx, { growerId }: GrowerContext): Promise<FarmWeek> {
    const { timeZone } = await readSettings(tx, growerId);
    const { weekStartsOn } = await readFileUnits(tx, growerId);
    return farmWeek(calendarDayAt(this.clock.now().getTime(), timeZone), weekStartsOn);
  }

  async #made(ctx: GrowerContext, { id, reason, progress, whenKept }: Making): Promise<WorkbookFileRow> {
    const range = await this.growerDb.read(ctx, (tx) => this.#farmWeek(tx, ctx));
    const weeks = [];
    for (const iso of isoWeeksOf(range)) weeks.push(await this.weeks.week(ctx, iso));
    const week = cutToWeek(weeks, range);
    const madeAt = this.clock.now();
    const file = { exportId: id, madeAt, label: range.label };
    const book = await this.growerDb.read(ctx, (tx) => gatherBook(tx, ctx, week, file));
    progress.expect(rowsOf(book));
    let rows = 0;
    const bytes = await this.write(book, () => progress.step(++rows));
    const row = { ...{ id, reason, madeAt, madeBy: ctx.staffId }, week: book.week, asOf: book.asOf };
    await this.growerDb.run(ctx, async (tx) => {
      await insertWorkbookFile(tx, ctx.growerId, { ...row, bytes });
      await keepNewestFiles(tx, ctx.growerId, FILES_KEPT);
      await whenKept?.(tx, fileNameOf(row));
    });
    return row;
  }
}

interface Making {
  readonly id: string;
  readonly reason: WorkbookFileRow['reason'];
  readonly progress: Progress;
  readonly whenKept?: (tx: GrowerTx, fileName: string) => Promise<void>;
}

/** Rows of the sheets that grow with the farm; the others are few. */
const rowsOf = ({ work, starts, runs, jars, contamination, harvests }: WeeklyBook): number =>
  work.length + starts.length + runs.length + jars.length + contamination.length + harvests.length;

function fileJson(row: WorkbookFileRow): WorkbookFile {
  const { id, week, asOf, reason, madeAt } = row;
  return { id, week, asOf, reason, madeAt: madeAt.toISOString(), fileName: fileNameOf(row) };
}

/** Sorts by week, and two of one day do not overwrite each other. */
const fileNameOf = ({ week, id }: WorkbookFileRow) => `jarfold-${week}-${id.slice(-4)}.xlsx`;
