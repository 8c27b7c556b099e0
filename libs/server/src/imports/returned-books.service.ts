import type { ApplyReturnedBook, FileImport, FileImportList, ReturnedBookPreview } from '@jarfold/contracts';
import type { BookReading, FileProblem, ReturnedBook } from '@jarfold/domain';
import { enqueueFileImport } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, type Ids } from '../platform/index.js';
import { type FileToSend, hasExport } from '../workbooks/index.js';
import {
  type FileImportRow,
  findImport,
  findImportBytes,
  importJson,
  listImports,
  lockImport,
  updateImport,
} from './file-imports.repository.js';
import { DAY_MS, keepFile, markedName, requireStaff } from './kept-file.js';
import { compareBook, requireRightBook, withProblems } from './returned-book.js';
import { returnedBookJson } from './returned-book.mapper.js';
import type { ReturnedContent } from './returned-book-work.js';

/** The file format, which the service does not know: whoever starts it brings it. */
export interface BookFiles {
  readonly read: (bytes: Buffer) => Promise<BookReading>;
  /** A copy of the person's own file with its mistakes in it. */
  readonly mark: (bytes: Buffer, problems: readonly FileProblem[]) => Buffer;
}

/** After a season a workbook says too little about today. */
const STALE_AFTER_DAYS = 120;

/** Problems of a whole file that was not even opened. */
const UNWRITABLE: ReadonlySet<string> = new Set([
  ...['not-a-workbook', 'empty-file', 'old-format', 'protected', 'too-large', 'dangerous-content', 'damaged'],
]);

/** Workbooks that come back: compared with the farm, shown, decided, and handed to the worker to be applied. */
export class ReturnedBooksService {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly ids: Ids,
    private readonly files: BookFiles,
  ) {}

  async list(ctx: GrowerContext): Promise<FileImportList> {
    const rows = await this.growerDb.read(ctx, (tx) => listImports(tx, ctx.growerId));
    return { items: rows.map(importJson) };
  }

  /** Reads the file and keeps it. Nothing of the farm changes. */
  async upload(ctx: GrowerContext, fileName: string, bytes: Buffer): Promise<ReturnedBookPreview> {
    const uploadedBy = requireStaff(ctx);
    const reading = await this.files.read(bytes);
    const now = this.clock.now();
    const id = this.ids.next();
    await this.growerDb.run(ctx, async (tx) => {
      const refused = reading.ok ? await this.#refusal(tx, ctx, reading.book, now) : null;
      const content: ReturnedContent = { reading: refused === null ? reading : { ok: false, problems: [refused] } };
      await keepFile(tx, ctx.growerId, {
        ...{ id, kind: 'weekly-workbook', fileName, bytes, content },
        exportId: reading.ok && refused === null ? reading.book.exportId : null,
        ...{ uploadedAt: now, uploadedBy },
      });
    });
    return this.preview(ctx, id);
  }

  /** Compares the file with the farm as it is now. @throws AppError `not-found` */
  async preview(ctx: GrowerContext, id: string): Promise<ReturnedBookPreview> {
    return this.growerDb.read(ctx, async (tx) => {
      const row = requireBook(await findImport(tx, ctx.growerId, id));
      const { reading } = row.content as ReturnedContent;
      if (!reading.ok) return returnedBookJson(row, null, null, reading.problems);
      const compared = await compareBook(tx, ctx.growerId, reading.book);
      return returnedBookJson(row, reading.book, compared, compared.problems);
    });
  }

  /**
   * Hands what was shown to the worker, which applies all of it or nothing.
   * @throws AppError `not-found`; `conflict` when the farm changed since it was shown, or the file is settled;
   * `rule-refused` when the file has problems
   */
  async apply(ctx: GrowerContext, id: string, asked: ApplyReturnedBook): Promise<FileImport> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockImport(tx, ctx.growerId, id);
      const row = requireOpen(requireBook(await findImport(tx, ctx.growerId, id)));
      const { reading } = row.content as ReturnedContent;
      if (!reading.ok) throw withProblems(reading.problems);
      const compared = await compareBook(tx, ctx.growerId, reading.book);
      requireRightBook(compared, asked.seen);
      const outcome = { result: 'Waiting for the worker.' };
      const content: ReturnedContent = { reading, asked };
      await updateImport(tx, ctx.growerId, id, { state: 'waiting', outcome, content });
      await enqueueFileImport(tx, ctx, id);
      return importJson({ ...row, state: 'waiting', outcome });
    });
  }

  /**
   * The person's own file with its mistakes marked, to be corrected and sent back.
   * @throws AppError `not-found`; `rule-refused` when the file is too broken to be written into
   */
  async markedCopy(ctx: GrowerContext, id: string): Promise<FileToSend> {
    const { problems, import: row } = await this.preview(ctx, id);
    const bytes = await this.growerDb.read(ctx, (tx) => findImportBytes(tx, ctx.growerId, id));
    if (bytes === null) throw notFound();
    if (problems.some(({ code }) => UNWRITABLE.has(code))) {
      throw new AppError('rule-refused', 'The file cannot be opened, so nothing can be marked in it.');
    }
    return { fileName: markedName(row.fileName), bytes: this.files.mark(bytes, problems) };
  }

  /** @throws AppError `not-found`, `conflict` for one that is applied */
  async cancel(ctx: GrowerContext, id: string): Promise<FileImport> {
    return this.growerDb.run(ctx, async (tx) => {
      await lockImport(tx, ctx.growerId, id);
      const row = await findImport(tx, ctx.growerId, id);
      if (row === null) throw notFound();
      if (row.state === 'applied') throw new AppError('conflict', 'This file is applied already.');
      const outcome = { ...row.outcome, result: 'Cancelled; nothing was changed.' };
      await updateImport(tx, ctx.growerId, id, { state: 'cancelled', outcome });
      return importJson({ ...row, state: 'cancelled', outcome });
    });
  }

  /** Why a workbook of ours is not taken, if so. */
  async #refusal(tx: GrowerTx, ctx: GrowerContext, book: ReturnedBook, now: Date): Promise<FileProblem | null> {
    const fresh = 'Download a fresh workbook and copy your changes into it.';
    if (book.growerId !== ctx.growerId) {
      return wholeFile('This workbook is of another farm.', 'Sign in to that farm, or choose another file.');
    }
    const madeAt = Date.parse(book.madeAt);
    const ageDays = Math.floor((now.getTime() - madeAt) / DAY_MS);
    if (!(await hasExport(tx, ctx.growerId, book.exportId))) {
      return wholeFile('This farm never gave out this workbook, or dropped it since because it is old.', fresh);
    }
    if (ageDays > STALE_AFTER_DAYS) {
      return wholeFile(`This workbook is ${ageDays} days old; after ${STALE_AFTER_DAYS} it is stale.`, fresh);
    }
    return null;
  }
}

const wholeFile = (rule: string, advice: string): FileProblem => ({
  ...{ code: 'contradiction', sheet: null, cell: null, column: null, value: null },
  ...{ rule, advice },
});

const notFound = () => new AppError('not-found', 'There is no such file on this farm.');

function requireBook<Row extends FileImportRow>(row: Row | null): Row {
  if (row === null || row.kind !== 'weekly-workbook') throw notFound();
  return row;
}

function requireOpen<Row extends FileImportRow>(row: Row): Row {
  if (row.state === 'previewed' || row.state === 'failed') return row;
  throw new AppError('conflict', `This file is ${row.state} already. Send it again to compare it anew.`);
}
