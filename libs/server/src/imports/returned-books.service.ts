import type {
  ApplyReturnedBook,
  FileImport,
  FileImportList,
  ReturnedBookApplied,
  ReturnedBookPreview,
  RunPatch,
} from '@jarfold/contracts';
import {
  type BookReading,
  type CellValues,
  calendarDayAt,
  DomainError,
  decideMerge,
  type FileProblem,
  gramsToKilograms,
  type MergeDecision,
  type ReturnedBook,
  type RunCells,
  runFromCells,
  type StatedRun,
} from '@jarfold/domain';
import { lockFarm, readSettings } from '../farm/index.js';
import { enqueueReplan } from '../jobs/index.js';
import { AppError, type Clock, type GrowerContext, type GrowerDb, type GrowerTx, type Ids } from '../platform/index.js';
import { addRunIn, cancelRunIn, changeRunIn } from '../runs/index.js';
import type { FarmNames } from '../stock/index.js';
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
import { type ComparedBook, compareBook, idsOfAdded } from './returned-book.js';
import { returnedBookJson } from './returned-book.mapper.js';

/** The file format, which the service does not know: whoever starts it brings it. */
export interface BookFiles {
  readonly read: (bytes: Buffer) => Promise<BookReading>;
  /** A copy of the person's own file with its mistakes in it. */
  readonly mark: (bytes: Buffer, problems: readonly FileProblem[]) => Buffer;
}

/** A thousand runs change in a few seconds. */
const APPLY_LIMIT_MS = 120_000;
/** After a season a workbook says too little about today. */
const STALE_AFTER_DAYS = 120;

/** Problems of a whole file that was not even opened. */
const UNWRITABLE: ReadonlySet<string> = new Set([
  ...['not-a-workbook', 'empty-file', 'old-format', 'protected', 'too-large', 'dangerous-content', 'damaged'],
]);

type Content = { readonly reading: BookReading };

/** Workbooks that come back: compared with the farm, shown, decided, applied in one transaction. */
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
      const content: Content = { reading: refused === null ? reading : { ok: false, problems: [refused] } };
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
      const { reading } = row.content as Content;
      if (!reading.ok) return returnedBookJson(row, null, null, reading.problems);
      const compared = await compareBook(tx, ctx.growerId, reading.book);
      return returnedBookJson(row, reading.book, compared, compared.problems);
    });
  }

  /**
   * Applies what was shown, all of it or nothing.
   * @throws AppError `not-found`; `conflict` when the farm changed since it was shown, or the file is settled;
   * `rule-refused` when the file has problems or a run makes no sense
   */
  async apply(ctx: GrowerContext, id: string, { seen, choices }: ApplyReturnedBook): Promise<ReturnedBookApplied> {
    return this.growerDb.run(
      ctx,
      async (tx) => {
        await lockFarm(tx, ctx.growerId);
        await lockImport(tx, ctx.growerId, id);
        const row = requireOpen(requireBook(await findImport(tx, ctx.growerId, id)));
        const { reading } = row.content as Content;
        if (!reading.ok) throw withProblems(reading.problems);
        const compared = await compareBook(tx, ctx.growerId, reading.book);
        if (compared.problems.length > 0) throw withProblems(compared.problems);
        if (compared.seen !== seen) throw changedSince();
        const decision = decideMerge(compared.result, definedChoices(choices));
        await this.#carryOut(tx, ctx, reading.book, compared, decision);
        return this.#settle(tx, ctx, row, reading.book, decision);
      },
      { timeoutMs: APPLY_LIMIT_MS },
    );
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

  async #carryOut(
    tx: GrowerTx,
    ctx: GrowerContext,
    book: ReturnedBook,
    compared: ComparedBook,
    { edits, adds, deletes }: MergeDecision,
  ): Promise<void> {
    const now = this.clock.now();
    const { timeZone } = await readSettings(tx, ctx.growerId);
    const today = calendarDayAt(now.getTime(), timeZone);
    const places = placesByKey(book);
    for (const [key, cells] of edits) {
      const patch = patchOf(cells, compared.names, book);
      await placed(places.get(key), () => changeRunIn(tx, ctx, key, revisionOf(compared, key), patch, today));
    }
    for (const key of deletes) {
      const reason = 'Marked "delete" in a workbook.';
      await placed(places.get(key), () => cancelRunIn(tx, ctx, key, revisionOf(compared, key), reason, now));
    }
    for (const [row, id] of idsOfAdded(book.exportId, adds)) {
      const { state: _state, substrateWetKg, strainIds, day, ...said } = patchOf(row.values, compared.names, book);
      const wanted = { ...said, id, substrateWetKg: substrateWetKg!, strainIds: strainIds!, day: day! };
      await placed(row.place, () => addRunIn(tx, ctx, wanted));
    }
    if (edits.size + deletes.length + adds.length > 0) await enqueueReplan(tx, ctx, 'run-changed');
  }

  async #settle(
    tx: GrowerTx,
    ctx: GrowerContext,
    row: FileImportRow,
    book: ReturnedBook,
    { edits, adds, deletes }: MergeDecision,
  ): Promise<ReturnedBookApplied> {
    const counts = { added: adds.length, changed: edits.size, cancelled: deletes.length };
    const result = `${counts.added} added, ${counts.changed} changed, ${counts.cancelled} cancelled.`;
    const outcome = { result, said: whatItSaid(book, adds) };
    const appliedAt = this.clock.now();
    await updateImport(tx, ctx.growerId, row.id, { state: 'applied', appliedAt, outcome });
    return { import: importJson({ ...row, state: 'applied', appliedAt, outcome }), ...counts };
  }
}

/** What every row said: the file is compared with this when it comes back once more. */
function whatItSaid(book: ReturnedBook, adds: MergeDecision['adds']): Record<string, CellValues> {
  const base = new Map(book.base.map(({ key, cells }) => [key, cells]));
  const keyed = book.rows.flatMap(({ key, values }) =>
    key === null ? [] : [[key, { ...base.get(key), ...values }] as const],
  );
  const added = [...idsOfAdded(book.exportId, adds)].map(([{ values }, id]) => [id, values] as const);
  return Object.fromEntries([...keyed, ...added]);
}

const placesByKey = ({ rows }: ReturnedBook) =>
  new Map(rows.flatMap(({ key, place }) => (key === null ? [] : [[key, place] as const])));

function patchOf(cells: CellValues, names: FarmNames, { units }: ReturnedBook): RunPatch {
  const said = runFromCells(cells as Partial<RunCells>, units);
  const { strainCodes, substrateWetG, state, ...rest } = said;
  return {
    ...(rest as Omit<Partial<StatedRun>, 'strainCodes' | 'substrateWetG' | 'state'>),
    ...(substrateWetG === undefined ? {} : { substrateWetKg: gramsToKilograms(substrateWetG) }),
    ...(strainCodes === undefined ? {} : { strainIds: strainCodes.map((code) => idOf(code, names)) }),
    ...(state === undefined || state === 'cancelled' ? {} : { state }),
  } as RunPatch;
}

function idOf(code: string, { strains }: FarmNames): string {
  const found = [...strains.values()].find((strain) => strain.code === code);
  if (found === undefined) throw new AppError('rule-refused', `The farm has no strain ${code}.`);
  return found.id;
}

function revisionOf({ runs }: ComparedBook, key: string): number {
  const run = runs.get(key);
  if (run === undefined) throw notFound();
  return run.revision;
}

/** Says at which row of the file the farm's rules said no. */
async function placed<T>(place: string | undefined, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof AppError && error.code === 'rule-refused') {
      throw new AppError('rule-refused', `Row of ${place ?? 'the file'}: ${error.message}`, error.details);
    }
    if (error instanceof DomainError) {
      throw new AppError('rule-refused', `Row of ${place ?? 'the file'}: ${error.message}`);
    }
    throw error;
  }
}

function definedChoices(choices: ApplyReturnedBook['choices']) {
  const { cells, rows, copies } = choices ?? {};
  return { ...(cells ? { cells } : {}), ...(rows ? { rows } : {}), ...(copies ? { copies } : {}) };
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
  if (row.state === 'previewed') return row;
  throw new AppError('conflict', `This file is ${row.state} already. Send it again to compare it anew.`);
}

const changedSince = () =>
  new AppError('conflict', 'The farm changed since this was shown: look at the comparison again. Nothing was changed.');

function withProblems(problems: readonly FileProblem[]): AppError {
  const errors = problems.slice(0, 50).map(({ sheet, cell, rule, advice }) => ({
    pointer: '',
    detail: `${[sheet, cell].filter(Boolean).join('!') || 'The file'}: ${rule} ${advice}`,
  }));
  return new AppError('rule-refused', 'The file has mistakes, so nothing was changed.', { errors });
}
