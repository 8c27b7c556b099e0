import { lookAgainAtImport } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx } from '../platform/index.js';
import {
  beginFile,
  holdFile,
  lockFile,
  type Pace,
  Progress,
  Stopped,
  saidThatItFailed,
  settleFile,
  type Told,
  tellProgress,
  usualPace,
} from '../under-way/index.js';
import { isBusy } from './busy.js';
import {
  type FileImportRow,
  findImport,
  findImportBytes,
  type ImportKind,
  type ImportOutcome,
  updateImport,
} from './file-imports.repository.js';

/** What became of a bringing in. */
export type BroughtIn = 'applied' | 'cancelled' | 'failed' | 'nothing-to-do';

/** A file that a person has said yes to. */
export interface FileToBringIn {
  readonly ctx: GrowerContext & { readonly staffId: string };
  readonly row: FileImportRow;
  readonly content: unknown;
  readonly bytes: Buffer;
}

/** What a file became, to be kept with it. */
export interface BroughtResult {
  readonly outcome: ImportOutcome;
  readonly content?: unknown;
}

/** How files of one kind are brought in. */
export interface ImportWork {
  /**
   * Opens the file, outside of any transaction.
   * @returns what does everything in one transaction, telling each step; null with a reason when it cannot be read
   */
  open(
    file: FileToBringIn,
  ): Promise<
    | { readonly ok: false; readonly reason: string }
    | { readonly ok: true; readonly all: (tx: GrowerTx, progress: Progress) => Promise<BringsIn> }
  >;
}

/** Everything is written; what is left is to mark the file, and a last step that may lock what others need. */
export interface BringsIn {
  readonly result: BroughtResult;
  readonly lastStep?: () => Promise<void>;
}

const LIMIT_MS = 600_000;
const ATTEMPTS = 5;
const AGAIN = 'A fault stopped it, and nothing was brought in. It is tried again; cancel it to stop.';
const OVER = 'Faults stopped it again and again, and nothing was brought in. Try again later.';

/**
 * The worker's part of every import: brings a file in that a person has said yes to. Everything is made in one
 * transaction, which nobody sees until it ends, so a worker that dies has changed nothing and the next one begins anew. A
 * worker whose session hangs falls silent; the file is looked at again later, the session ended, and the work begun anew.
 */
export class FileImporter {
  constructor(
    private readonly growerDb: GrowerDb,
    private readonly clock: Clock,
    private readonly works: Partial<Readonly<Record<ImportKind, ImportWork>>>,
    private readonly pace: Pace = usualPace,
  ) {}

  /** Safe to run twice: a file that is applied or cancelled is left alone. */
  async bringIn(growerId: string, importId: string): Promise<BroughtIn> {
    const file = await this.#begin(growerId, importId);
    if (file === null) return 'nothing-to-do';
    const work = this.works[file.row.kind];
    if (work === undefined) throw new Error(`Nobody here brings in a file of the kind ${file.row.kind}.`);
    const opened = await work.open(file);
    if (!opened.ok) return this.#fail(file, opened.reason);
    return this.#tryUntilDone(file, opened.all);
  }

  #begin(growerId: string, importId: string): Promise<FileToBringIn | null> {
    return this.growerDb.run({ growerId }, async (tx) => {
      const begun = await beginFile(tx, 'file_import', growerId, importId, this.pace, OVER);
      if (begun === 'elsewhere') await lookAgainAtImport(tx, { growerId }, importId);
      if (begun !== 'begun') return null;
      const row = await findImport(tx, growerId, importId);
      const bytes = await findImportBytes(tx, growerId, importId);
      if (row === null || bytes === null) return null;
      const { content, ...head } = row;
      const outcome = { ...head.outcome, result: 'Being brought in.' };
      await updateImport(tx, growerId, importId, { outcome });
      return { ctx: { growerId, staffId: head.uploadedBy, role: null }, row: { ...head, outcome }, content, bytes };
    });
  }

  async #tryUntilDone(file: FileToBringIn, all: All): Promise<BroughtIn> {
    for (let attempt = 1; ; attempt += 1) {
      try {
        return await this.#attempt(file, all);
      } catch (error) {
        if (error instanceof Stopped) return 'cancelled';
        if (isBusy(error) && attempt < ATTEMPTS) continue;
        // What the farm's rules or the database say to the file they say again; only what is busy or away may change.
        if (error instanceof AppError && error.code !== 'unavailable') return this.#fail(file, error.message);
        // The queue tries it again; meanwhile, and when it is given up, a person sees why nothing moves.
        if (await saidThatItFailed(this.#told(file), { again: AGAIN, over: OVER })) return 'failed';
        throw error;
      }
    }
  }

  async #attempt(file: FileToBringIn, all: All): Promise<BroughtIn> {
    const { ctx, row } = file;
    const progress = new Progress();
    return tellProgress(this.#told(file), progress, () =>
      this.growerDb.run(
        ctx,
        async (tx) => {
          if (!(await holdFile(tx, row.id))) return 'nothing-to-do';
          const { result, lastStep } = await all(tx, progress);
          await this.#settle(tx, ctx.growerId, row.id, result);
          await lastStep?.();
          return 'applied';
        },
        { timeoutMs: LIMIT_MS },
      ),
    );
  }

  /** Marks the file as brought in, unless it was cancelled meanwhile. */
  async #settle(tx: GrowerTx, growerId: string, importId: string, { outcome, content }: BroughtResult): Promise<void> {
    if ((await lockFile(tx, 'file_import', growerId, importId)) !== 'running') throw new Stopped();
    const appliedAt = this.clock.now();
    const kept = content === undefined ? {} : { content };
    await updateImport(tx, growerId, importId, { state: 'applied', appliedAt, outcome, ...kept });
  }

  #told({ ctx, row }: FileToBringIn): Told {
    return { growerDb: this.growerDb, table: 'file_import', growerId: ctx.growerId, id: row.id, pace: this.pace };
  }

  async #fail({ ctx, row }: FileToBringIn, reason: string): Promise<BroughtIn> {
    const result = `Nothing was brought in. ${reason}`;
    const settled = await this.growerDb.run(ctx, (tx) =>
      settleFile(tx, 'file_import', ctx.growerId, row.id, 'failed', result),
    );
    return settled ? 'failed' : 'nothing-to-do';
  }
}

type All = (tx: GrowerTx, progress: Progress) => Promise<BringsIn>;
